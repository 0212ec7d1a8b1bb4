/** erf by its power series, for |x| below 3, until a term no longer changes the sum. */
const series = (x: number): number => {
  let [sum, term] = [x, x];
  for (let n = 1; Math.abs(term) > 1e-17 * Math.abs(sum); n += 1) {
    term *= (-x * x) / n;
    sum += term / (2 * n + 1);
  }
  return (2 / Math.sqrt(Math.PI)) * sum;
};

/** erfc by its continued fraction, worked out from the innermost term, for x of 2 and more. */
const tail = (x: number): number => {
  let fraction = 0;
  for (let n = 120; n >= 1; n -= 1) fraction = n / 2 / (x + fraction);
  return Math.exp(-x * x) / (Math.sqrt(Math.PI) * (x + fraction));
};

/** Complementary error function; good to about 1e-13 of its value. */
const erfc = (x: number): number => {
  if (x < 0) return 2 - erfc(-x);
  return x < 2 ? 1 - series(x) : tail(x);
};

/** Φ: the share of a normal distribution below `z` standard deviations. */
export const normalBelow = (z: number): number => erfc(-z / Math.SQRT2) / 2;
