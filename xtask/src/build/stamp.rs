//! What is up to date.
//!
//! Takes the bytes that a product is made from; gives whether the product still belongs to them. Contents decide,
//! never clocks: a checkout or a copy changes times but not contents.

use std::fs;
use std::path::{Path, PathBuf};

use anyhow::{Context, Result};
use sha2::{Digest, Sha256};

/// A hash over several inputs, in order.
pub fn hash(inputs: &[&[u8]]) -> String {
    let mut hasher = Sha256::new();
    for input in inputs {
        hasher.update(input.len().to_le_bytes());
        hasher.update(input);
    }
    hex(&hasher.finalize())
}

/// The first 10 hexadecimal digits of a content's hash, for its file name.
pub fn short(content: &[u8]) -> String {
    hex(&Sha256::digest(content)).chars().take(10).collect()
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

/// A product and the note of what it was made from, which lies beside it.
pub struct Stamp {
    file: PathBuf,
    inputs: String,
}

impl Stamp {
    /// The stamp of `products` in `folder`, under `name`, made from `inputs` (a [`hash`]).
    pub fn new(folder: &Path, name: &str, inputs: String) -> Self {
        Self {
            file: folder.join(format!(".{name}.stamp")),
            inputs,
        }
    }

    /// Whether the products are there as they were made, from these very inputs.
    pub fn holds(&self, products: &[&Path]) -> bool {
        self.text(products)
            .is_ok_and(|text| fs::read_to_string(&self.file).is_ok_and(|noted| noted == text))
    }

    /// Notes that the products were made from the inputs.
    pub fn set(&self, products: &[&Path]) -> Result<()> {
        let text = self.text(products)?;
        fs::write(&self.file, text)
            .with_context(|| format!("{} cannot be written", self.file.display()))
    }

    /// The products' own contents count too: someone may have changed or cut them short.
    fn text(&self, products: &[&Path]) -> Result<String> {
        let mut text = self.inputs.clone();
        for product in products {
            let content = fs::read(product)
                .with_context(|| format!("{} cannot be read", product.display()))?;
            text += &format!("\n{}", hash(&[&content]));
        }
        Ok(text)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stamp_holds_until_an_input_or_the_product_changes() {
        let folder = std::env::temp_dir().join(format!("glazefall-stamp-{}", std::process::id()));
        fs::create_dir_all(&folder).unwrap();
        let product = folder.join("product");
        fs::write(&product, "made").unwrap();
        let stamp = Stamp::new(&folder, "product", hash(&[b"a", b"b"]));
        assert!(!stamp.holds(&[&product]));
        stamp.set(&[&product]).unwrap();
        assert!(stamp.holds(&[&product]));
        assert!(!Stamp::new(&folder, "product", hash(&[b"ab", b""])).holds(&[&product]));
        fs::write(&product, "mad").unwrap();
        assert!(!stamp.holds(&[&product]));
        fs::remove_file(&product).unwrap();
        assert!(!stamp.holds(&[&product]));
        fs::remove_dir_all(&folder).unwrap();
    }
}
