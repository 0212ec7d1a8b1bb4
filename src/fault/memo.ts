/** Makes a value when it is first asked for, and keeps it. */
export const once = <T>(make: () => T): (() => T) => {
  let made: { readonly value: T } | undefined;
  return () => (made ??= { value: make() }).value;
};

/** `make`, which keeps its answer until it is asked about something else. Arguments are compared as `Object.is` compares them. */
export const latest = <Args extends readonly unknown[], T>(make: (...args: Args) => T): ((...args: Args) => T) => {
  let made: { readonly args: Args; readonly value: T } | undefined;
  return (...args) => {
    const known = made;
    if (known && args.every((arg, index) => Object.is(arg, known.args[index]))) return known.value;
    const value = make(...args);
    made = { args, value };
    return value;
  };
};

/*
 * The program's only hidden memory. Both functions below remember what a pure function made of an object that never changes (a plan, the
 * state of the build), for as long as that object lives. Forgetting costs time and changes no answer, so nothing but speed may depend on
 * it. Never give them an object that is changed in place.
 */

/** `make`, which works out its answer once for each object. */
export const memoised = <Whole extends object, T>(make: (whole: Whole) => T): ((whole: Whole) => T) => {
  const made = new WeakMap<Whole, { readonly value: T }>();
  return (whole) => {
    const known = made.get(whole) ?? { value: make(whole) };
    made.set(whole, known);
    return known.value;
  };
};

/**
 * `make`, which works out its answer once for each object and key. Keys are compared as a Map compares them; `nameOf` gives what is
 * compared, where the keys themselves are made anew each time.
 */
export const memoisedBy = <Whole extends object, Key, T>(
  make: (whole: Whole, key: Key) => T,
  nameOf: (key: Key) => unknown = (key) => key,
): ((whole: Whole, key: Key) => T) => {
  const byName = memoised((_whole: Whole) => new Map<unknown, { readonly value: T }>());
  return (whole, key) => {
    const made = byName(whole);
    const name = nameOf(key);
    const known = made.get(name) ?? { value: make(whole, key) };
    made.set(name, known);
    return known.value;
  };
};
