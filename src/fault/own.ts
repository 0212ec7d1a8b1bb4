/**
 * What a table holds under a key that came from a file or a person. Never what every object inherits: a place may be called
 * `constructor`, and a merged journal may name a step `__proto__`.
 */
export const own = <T>(table: Readonly<Record<string, T>>, key: string): T | undefined =>
  Object.hasOwn(table, key) ? table[key] : undefined;

/** Lays something down under a key that came from a file or a person: `__proto__` too is a key like any other. */
export const put = <T>(table: Record<string, T>, key: string, value: T): void => {
  if (key === '__proto__')
    Object.defineProperty(table, key, { value, writable: true, enumerable: true, configurable: true });
  else table[key] = value;
};
