// The discrete Fourier transform of a power of two of numbers (Cooley & Tukey 1965, radix 2).

const tables = new Map();

/** The cosines and sines of a size, and the order in which its numbers are taken. */
function tablesOf(size) {
  if (!tables.has(size)) {
    const cosines = Float64Array.from({ length: size / 2 }, (_, n) => Math.cos((2 * Math.PI * n) / size));
    const sines = Float64Array.from({ length: size / 2 }, (_, n) => Math.sin((2 * Math.PI * n) / size));
    const order = new Uint32Array(size);
    for (let n = 1; n < size; n++) order[n] = (order[n >> 1] >> 1) | (n & 1 ? size >> 1 : 0);
    tables.set(size, { cosines, sines, order });
  }
  return tables.get(size);
}

/** Transforms real and imaginary parts in place; their length is a power of two. */
export function transform(real, imaginary) {
  const size = real.length;
  const { cosines, sines, order } = tablesOf(size);
  for (let n = 0; n < size; n++) {
    if (order[n] <= n) continue;
    swap(real, n, order[n]);
    swap(imaginary, n, order[n]);
  }
  for (let half = 1; half < size; half *= 2) {
    const step = size / (2 * half);
    for (let n = 0; n < half; n++) {
      const cosine = cosines[n * step];
      const sine = sines[n * step];
      for (let low = n; low < size; low += 2 * half) {
        const high = low + half;
        const turnedReal = real[high] * cosine + imaginary[high] * sine;
        const turnedImaginary = imaginary[high] * cosine - real[high] * sine;
        real[high] = real[low] - turnedReal;
        imaginary[high] = imaginary[low] - turnedImaginary;
        real[low] += turnedReal;
        imaginary[low] += turnedImaginary;
      }
    }
  }
}

function swap(numbers, one, other) {
  const kept = numbers[one];
  numbers[one] = numbers[other];
  numbers[other] = kept;
}

/** The power of each frequency of some real numbers, up to half the rate; filled up with 0 to a size. */
export function powers(samples, size) {
  const real = new Float64Array(size);
  const imaginary = new Float64Array(size);
  real.set(samples);
  transform(real, imaginary);
  return Float64Array.from({ length: size / 2 + 1 }, (_, n) => real[n % size] ** 2 + imaginary[n % size] ** 2);
}
