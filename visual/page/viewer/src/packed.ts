/** Arrays of numbers as short texts, and the numbers in them; see `visual/page/packing.py`. */

/** An array as a short text. */
export interface Packed {
  as: "f4" | "u2" | "u4" | "q2";
  shape: number[];
  data: string;
  from?: number[];
  step?: number[];
}

/** Return the numbers of a packed array; NaN where a number is not known. */
export function unpack(packed: Packed): Float32Array | Uint16Array | Uint32Array {
  const bytes = bytesOf(packed.data);
  if (packed.as === "f4") return new Float32Array(bytes.buffer);
  if (packed.as === "u2") return new Uint16Array(bytes.buffer);
  if (packed.as === "u4") return new Uint32Array(bytes.buffer);
  return spread(new Uint16Array(bytes.buffer), packed);
}

/** Return the numbers of a packed array as floats. */
export function floats(packed: Packed): Float32Array {
  const numbers = unpack(packed);
  return numbers instanceof Float32Array ? numbers : Float32Array.from(numbers);
}

function spread(whole: Uint16Array, packed: Packed): Float32Array {
  const from = packed.from ?? [0];
  const step = packed.step ?? [1];
  const width = from.length;
  const numbers = new Float32Array(whole.length);
  for (let i = 0; i < whole.length; i++) {
    const k = i % width;
    const value = whole[i] as number;
    numbers[i] = value === 65535 ? NaN : (from[k] as number) + (step[k] as number) * value;
  }
  return numbers;
}

function bytesOf(text: string): Uint8Array<ArrayBuffer> {
  const binary = atob(text);
  const bytes = new Uint8Array(binary.length);
  for (let i = 0; i < binary.length; i++) bytes[i] = binary.charCodeAt(i);
  return bytes;
}
