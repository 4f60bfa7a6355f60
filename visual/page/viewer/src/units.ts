/** Numbers for a person, as `visual/units.py` writes them. */

import type { Units } from "./data.ts";

const INCH = 0.0254;
const FOOT = 0.3048;
const POUND = 0.45359237;
const POUND_FORCE = POUND * 9.80665;
const PSI = POUND_FORCE / INCH ** 2;

/** `17.40 m` or `57 ft 1 1/16 in`. */
export function lengthText(metres: number, units: Units, decimals = 2): string {
  if (!Number.isFinite(metres)) return "unknown";
  if (units === "metric") return `${fixed(metres, decimals)} m`;
  const sixteenths = halfEven((Math.abs(metres) / INCH) * 16);
  const sign = metres < 0 && sixteenths > 0 ? "-" : "";
  const feet = Math.floor(sixteenths / 192);
  return `${sign}${feet ? `${feet} ft ` : ""}${mixedText(sixteenths % 192)} in`;
}

/** `296 N`, `2.96 kN` or `665 lbf`. */
export function forceText(newtons: number, units: Units): string {
  if (!Number.isFinite(newtons)) return "unknown";
  if (units === "imperial") return `${fixed(newtons / POUND_FORCE, 0)} lbf`;
  if (Math.abs(newtons) < 999.5) return `${fixed(newtons, 0)} N`;
  return `${fixed(newtons / 1e3, 2)} kN`;
}

export function angleText(degrees: number, decimals = 1): string {
  return `${fixed(degrees, decimals)}°`;
}

/** A value in a unit of the data: `m`, `N`, `Pa`, `deg` or none. */
export function quantityText(value: number, unit: string, units: Units): string {
  if (!Number.isFinite(value)) return "unknown";
  const metric = units === "metric";
  switch (unit) {
    case "m":
      return lengthText(value, units);
    case "N":
      return forceText(value, units);
    case "Pa":
      return metric ? `${fixed(value / 1e6, 1)} MPa` : `${fixed(value / (1e3 * PSI), 1)} ksi`;
    case "deg":
      return angleText(value);
    default:
      return fixed(value, 2);
  }
}

/** A round length for a scale bar of about this many metres. */
export function roundLength(metres: number, units: Units): { metres: number; text: string } {
  const unit = units === "metric" ? 1 : FOOT;
  const decade = 10 ** Math.floor(Math.log10(metres / unit));
  const step = [5, 2, 1].find((one) => one * decade <= metres / unit) ?? 1;
  const value = step * decade;
  return { metres: value * unit, text: `${Number(value.toPrecision(3))} ${unit === 1 ? "m" : "ft"}` };
}

/** Fixed decimals, and never a negative zero. */
function fixed(value: number, decimals: number): string {
  const text = value.toFixed(decimals);
  return Number(text) === 0 ? text.replace("-", "") : text;
}

function mixedText(sixteenths: number): string {
  const inches = Math.floor(sixteenths / 16);
  let [over, under] = [sixteenths % 16, 16];
  if (over === 0) return `${inches}`;
  while (over % 2 === 0) [over, under] = [over / 2, under / 2];
  return inches ? `${inches} ${over}/${under}` : `${over}/${under}`;
}

function halfEven(value: number): number {
  const low = Math.floor(value);
  const rest = value - low;
  if (rest !== 0.5) return Math.round(value);
  return low % 2 === 0 ? low : low + 1;
}
