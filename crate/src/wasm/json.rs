//! A struct as JSON text, for the browser to read at once.
//!
//! Takes whatever is serialisable; gives JSON, `null` for what is absent or no finite number. Only what the boundary's
//! structs need is written, by few functions that are not compiled anew for each of them.

use std::fmt::{self, Display, Write};

use serde::Serialize;
use serde::ser::{self, Serializer};

use crate::digits;
use crate::studio::json::write_text;

/// The JSON of a value.
pub fn text<T: Serialize + ?Sized>(of: &T) -> String {
    let mut json = Json {
        text: String::new(),
    };
    match of.serialize(&mut json) {
        Ok(()) => json.text,
        Err(never) => match never {},
    }
}

/// Nothing goes wrong while text is put behind text, and with an error that cannot be, no code asks whether one is.
#[derive(Debug)]
pub enum Never {}

impl Display for Never {
    fn fmt(&self, _: &mut fmt::Formatter<'_>) -> fmt::Result {
        match *self {}
    }
}

impl std::error::Error for Never {}

impl ser::Error for Never {
    fn custom<T: Display>(said: T) -> Self {
        unreachable!("derived serialisation makes no errors, but this one: {said}")
    }
}

struct Json {
    text: String,
}

impl Json {
    #[inline(never)]
    fn key(&mut self, key: &str) {
        self.next();
        write_text(&mut self.text, key);
        self.text.push(':');
    }

    /// A comma, but for the first of a list or an object.
    #[inline(never)]
    fn next(&mut self) {
        if !self.text.ends_with(['[', '{']) {
            self.text.push(',');
        }
    }

    #[inline(never)]
    fn raw(&mut self, text: &str) {
        self.text.push_str(text);
    }

    #[inline(never)]
    fn whole(&mut self, value: i64) {
        // Writing to a text cannot fail.
        let _ = write!(self.text, "{value}");
    }

    #[inline(never)]
    fn number(&mut self, value: f64) {
        if value.is_finite() {
            digits::put(&mut self.text, value);
        } else {
            self.raw("null");
        }
    }

    /// Opens `{"name":` for a variant that carries something; whoever carries it closes.
    fn variant(&mut self, name: &str) {
        self.raw("{");
        self.key(name);
    }
}

type Done = Result<(), Never>;

/// An open list or object, and what closes it.
struct Open<'a> {
    json: &'a mut Json,
    end: &'static str,
}

impl Open<'_> {
    fn item<T: Serialize + ?Sized>(&mut self, value: &T) -> Done {
        self.json.next();
        value.serialize(&mut *self.json)
    }

    fn field<T: Serialize + ?Sized>(&mut self, key: &str, value: &T) -> Done {
        self.json.key(key);
        value.serialize(&mut *self.json)
    }

    fn close(self) -> Done {
        self.json.raw(self.end);
        Ok(())
    }
}

impl<'a> Serializer for &'a mut Json {
    type Ok = ();
    type Error = Never;
    type SerializeSeq = Open<'a>;
    type SerializeTuple = Open<'a>;
    type SerializeTupleStruct = Open<'a>;
    type SerializeTupleVariant = Open<'a>;
    type SerializeMap = Open<'a>;
    type SerializeStruct = Open<'a>;
    type SerializeStructVariant = Open<'a>;

    fn serialize_bool(self, value: bool) -> Done {
        self.raw(if value { "true" } else { "false" });
        Ok(())
    }

    fn serialize_i8(self, value: i8) -> Done {
        self.serialize_i64(value.into())
    }

    fn serialize_i16(self, value: i16) -> Done {
        self.serialize_i64(value.into())
    }

    fn serialize_i32(self, value: i32) -> Done {
        self.serialize_i64(value.into())
    }

    fn serialize_i64(self, value: i64) -> Done {
        self.whole(value);
        Ok(())
    }

    fn serialize_u8(self, value: u8) -> Done {
        self.serialize_i64(value.into())
    }

    fn serialize_u16(self, value: u16) -> Done {
        self.serialize_i64(value.into())
    }

    fn serialize_u32(self, value: u32) -> Done {
        self.serialize_i64(value.into())
    }

    fn serialize_u64(self, value: u64) -> Done {
        // JavaScript has no larger whole numbers than these anyway.
        self.serialize_i64(i64::try_from(value).unwrap_or(i64::MAX))
    }

    fn serialize_f32(self, value: f32) -> Done {
        self.serialize_f64(value.into())
    }

    fn serialize_f64(self, value: f64) -> Done {
        self.number(value);
        Ok(())
    }

    fn serialize_char(self, value: char) -> Done {
        self.serialize_str(value.encode_utf8(&mut [0; 4]))
    }

    fn serialize_str(self, value: &str) -> Done {
        write_text(&mut self.text, value);
        Ok(())
    }

    fn serialize_bytes(self, value: &[u8]) -> Done {
        value.serialize(self)
    }

    fn serialize_none(self) -> Done {
        self.serialize_unit()
    }

    fn serialize_some<T: Serialize + ?Sized>(self, value: &T) -> Done {
        value.serialize(self)
    }

    fn serialize_unit(self) -> Done {
        self.raw("null");
        Ok(())
    }

    fn serialize_unit_struct(self, _: &'static str) -> Done {
        self.serialize_unit()
    }

    fn serialize_unit_variant(self, _: &'static str, _: u32, name: &'static str) -> Done {
        self.serialize_str(name)
    }

    fn serialize_newtype_struct<T: Serialize + ?Sized>(self, _: &'static str, value: &T) -> Done {
        value.serialize(self)
    }

    fn serialize_newtype_variant<T: Serialize + ?Sized>(
        self,
        _: &'static str,
        _: u32,
        name: &'static str,
        value: &T,
    ) -> Done {
        self.variant(name);
        value.serialize(&mut *self)?;
        self.raw("}");
        Ok(())
    }

    fn serialize_seq(self, _: Option<usize>) -> Result<Open<'a>, Never> {
        self.raw("[");
        Ok(Open {
            json: self,
            end: "]",
        })
    }

    fn serialize_tuple(self, _: usize) -> Result<Open<'a>, Never> {
        self.serialize_seq(None)
    }

    fn serialize_tuple_struct(self, _: &'static str, _: usize) -> Result<Open<'a>, Never> {
        self.serialize_seq(None)
    }

    fn serialize_tuple_variant(
        self,
        _: &'static str,
        _: u32,
        name: &'static str,
        _: usize,
    ) -> Result<Open<'a>, Never> {
        self.variant(name);
        self.raw("[");
        Ok(Open {
            json: self,
            end: "]}",
        })
    }

    fn serialize_map(self, _: Option<usize>) -> Result<Open<'a>, Never> {
        self.raw("{");
        Ok(Open {
            json: self,
            end: "}",
        })
    }

    fn serialize_struct(self, _: &'static str, _: usize) -> Result<Open<'a>, Never> {
        self.serialize_map(None)
    }

    fn serialize_struct_variant(
        self,
        _: &'static str,
        _: u32,
        name: &'static str,
        _: usize,
    ) -> Result<Open<'a>, Never> {
        self.variant(name);
        self.raw("{");
        Ok(Open {
            json: self,
            end: "}}",
        })
    }
}

/// One trait after the other that ends in the same two ways.
macro_rules! closes {
    ($($kind:ident: $method:ident($($key:ident: $key_type:ty)?) by $with:ident),+ $(,)?) => {
        $(impl ser::$kind for Open<'_> {
            type Ok = ();
            type Error = Never;

            fn $method<T: Serialize + ?Sized>(&mut self, $($key: $key_type,)? value: &T) -> Done {
                self.$with($($key,)? value)
            }

            fn end(self) -> Done {
                self.close()
            }
        })+
    };
}
closes!(
    SerializeSeq: serialize_element() by item,
    SerializeTuple: serialize_element() by item,
    SerializeTupleStruct: serialize_field() by item,
    SerializeTupleVariant: serialize_field() by item,
    SerializeStruct: serialize_field(key: &'static str) by field,
    SerializeStructVariant: serialize_field(key: &'static str) by field,
);

impl ser::SerializeMap for Open<'_> {
    type Ok = ();
    type Error = Never;

    /// Keys are texts at this border.
    fn serialize_key<T: Serialize + ?Sized>(&mut self, key: &T) -> Done {
        self.item(key)
    }

    fn serialize_value<T: Serialize + ?Sized>(&mut self, value: &T) -> Done {
        self.json.raw(":");
        value.serialize(&mut *self.json)
    }

    fn end(self) -> Done {
        self.close()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Serialize)]
    #[serde(rename_all = "snake_case")]
    enum Kind {
        Plain,
        Carrying(u8),
        Pair(i16, f32),
        Named { left: char, right: Option<u64> },
    }

    #[derive(Serialize)]
    struct Unit;

    #[derive(Serialize)]
    struct All<'a> {
        text: &'a str,
        empty: [f64; 0],
        numbers: Vec<f64>,
        pair: (i64, bool),
        kinds: Vec<Kind>,
        absent: Option<String>,
        #[serde(skip_serializing_if = "Option::is_none")]
        left_out: Option<u8>,
        unit: Unit,
        map: std::collections::BTreeMap<&'a str, u32>,
    }

    /// Every number as the one kind of number that JavaScript has.
    fn as_javascript(value: serde_json::Value) -> serde_json::Value {
        use serde_json::Value;
        match value {
            Value::Number(number) => number.as_f64().unwrap().into(),
            Value::Array(items) => items.into_iter().map(as_javascript).collect(),
            Value::Object(items) => items
                .into_iter()
                .map(|(key, value)| (key, as_javascript(value)))
                .collect(),
            other => other,
        }
    }

    /// Against `serde_json`, which writes the same structs by the same derived code.
    #[test]
    fn it_says_what_serde_json_says() {
        let all = All {
            text: "cone 6, “fluid” \\ \"quoted\"\n<b> \u{7f}\u{2028} 釉",
            empty: [],
            numbers: vec![
                0.0,
                -0.0,
                1.0,
                0.1 + 0.2,
                1e300,
                -5e-324,
                f64::MAX,
                123_456_789.125,
                f64::NAN,
                f64::INFINITY,
            ],
            pair: (-7, true),
            kinds: vec![
                Kind::Plain,
                Kind::Carrying(9),
                Kind::Pair(-3, 0.5),
                Kind::Named {
                    left: 'é',
                    right: Some(9_007_199_254_740_991),
                },
            ],
            absent: None,
            left_out: None,
            unit: Unit,
            map: [("one", 1), ("two", 2)].into(),
        };
        let ours = serde_json::from_str(&text(&all)).unwrap();
        let theirs = serde_json::to_value(&all).unwrap();
        assert_eq!(as_javascript(ours), as_javascript(theirs));
        assert_eq!(text(&None::<u8>), "null");
        assert_eq!(text(&[(); 0]), "[]");
    }
}
