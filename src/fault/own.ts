/**
 * What a table holds under a key that came from a file or a person, and never what every object inherits. A place may be called
 * `constructor`, and a merged journal may name a step `__proto__`.
 */
export const own = <T>(table: Readonly<Record<string, T>>, key: string): T | undefined =>
  Object.hasOwn(table, key) ? table[key] : undefined;

/** Stores a value under a key that came from a file or a person. A plain assignment would treat `__proto__` in its own way. */
export const put = <T>(table: Record<string, T>, key: string, value: T): void => {
  if (key === '__proto__')
    Object.defineProperty(table, key, { value, writable: true, enumerable: true, configurable: true });
  else table[key] = value;
};
