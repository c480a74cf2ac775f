// Numbers as people read them: as many digits as are known, the unit always there.
// Takes values with their unit in the name; gives text. Units on the page change here, nowhere else.

import type { Quantity, Units } from "../core/types.ts";

/** No-break space between a number and its unit. */
const NB = "\u00a0";
const MM_PER_INCH = 25.4;

let units: Units = "metric";
export function setUnits(chosen: Units): void {
  units = chosen;
}

const fixed = (value: number, digits: number): string => {
  const text = value.toFixed(digits);
  return Number(text) === 0 ? (0).toFixed(digits) : text.replace("-", "−");
};

/** A length along a wall, to the mm. */
export function length(mm: number): string {
  return units === "imperial" ? `${fixed(mm / MM_PER_INCH, 2)}${NB}in` : `${fixed(mm, 0)}${NB}mm`;
}

/** A length without its unit, for bands whose unit stands beside. */
export function lengthBare(mm: number): string {
  return units === "imperial" ? fixed(mm / MM_PER_INCH, 2) : fixed(mm, 0);
}

/** A thickness, to 0.01 mm. */
export function thickness(um: number): string {
  return units === "imperial" ? `${fixed(um / 1000 / MM_PER_INCH, 4)}${NB}in` : `${fixed(um / 1000, 2)}${NB}mm`;
}

export function thicknessBare(um: number): string {
  return units === "imperial" ? fixed(um / 1000 / MM_PER_INCH, 4) : fixed(um / 1000, 2);
}

/** A band, low to high. */
export const band = (low: string, high: string): string => `${low}–${high}`;

/** A chance; the ends are said in words. */
export function chance(p: number): string {
  if (p < 0.005) return "under 1 in 200";
  if (p > 0.995) return "over 199 in 200";
  return `${fixed(100 * p, 0)}${NB}%`;
}

/** A chance where there is no room for words. */
export const chanceShort = (p: number): string => (p > 0.995 ? `>${NB}99${NB}%` : p < 0.005 ? `<${NB}1${NB}%` : percent(p));

export const percent = (share: number): string => `${fixed(100 * share, 0)}${NB}%`;

export const percentBare = (share: number): string => fixed(100 * share, 0);

export function temperature(c: number): string {
  return units === "imperial" ? `${fixed(c * 1.8 + 32, 0)}${NB}°F` : `${fixed(c, 0)}${NB}°C`;
}

export function rate(cPerHour: number): string {
  return units === "imperial" ? `${fixed(cPerHour * 1.8, 0)}${NB}°F/h` : `${fixed(cPerHour, 0)}${NB}°C/h`;
}

export const gravity = (sg: number): string => fixed(sg, 2);

export const plural = (count: number, one: string, many = `${one}s`): string => `${count}${NB}${count === 1 ? one : many}`;

/** A value as it stands in a field: shortest that is exact to a thousandth. */
export const plain = (value: number): string => String(Math.round(value * 1000) / 1000);

/** A value as it stands in a field, in the units of the page and with its unit: a bare number is read in whatever units are chosen then. */
const inField = (metric: string, value: number, imperial: string, other: number): string => (units === "imperial" ? `${plain(other)} ${imperial}` : `${plain(value)} ${metric}`);
export const lengthField = (mm: number): string => inField("mm", mm, "in", mm / MM_PER_INCH);
const temperatureField = (c: number): string => inField("°C", c, "°F", c * 1.8 + 32);
const rateField = (cPerHour: number): string => inField("°C/h", cPerHour, "°F/h", cPerHour * 1.8);

/** A value of any quantity as it stands in a field, empty where there is none. */
export function asField(value: number | null | undefined, quantity: Quantity): string {
  if (value === null || value === undefined) return "";
  switch (quantity) {
    case "length_mm": return lengthField(value);
    case "temperature_c": return temperatureField(value);
    case "rate_c_per_h": return rateField(value);
    case "percent": return `${plain(100 * value)} %`;
    case "minutes": return `${plain(value)} min`;
    default: return plain(value);
  }
}

/** A day as people write it. */
export function day(iso: string | undefined): string {
  if (!iso) return "no date";
  const [year, month, date] = iso.split("-").map(Number);
  const names = ["January", "February", "March", "April", "May", "June", "July", "August", "September", "October", "November", "December"];
  return `${date ?? ""} ${names[(month ?? 1) - 1] ?? ""} ${year ?? ""}`.trim();
}

/** A ratio, with so many decimals that what is multiplied comes to what is said. */
export const times = (ratio: number, decimals = 2): string => `${fixed(ratio, ratio < 9.95 ? decimals : 0)}${NB}×`;

/** A mass, to 0.1 g. */
export const grams = (g: number): string => (units === "imperial" ? `${fixed(g / 28.349523125, 2)}${NB}oz` : `${fixed(g, 1)}${NB}g`);

export const gramsBare = (g: number): string => grams(g).split(NB)[0] ?? "";
