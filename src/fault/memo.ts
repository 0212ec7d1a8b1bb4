/** Makes a value when it is first asked for, and keeps it. */
export const once = <T>(make: () => T): (() => T) => {
  let made: { readonly value: T } | undefined;
  return () => (made ??= { value: make() }).value;
};

/** A version of `make` that keeps its last answer until it is called with other arguments. Arguments are compared with `Object.is`. */
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
 * The program's only hidden memory. Both functions below remember what a pure function returned for an object that never changes (a plan,
 * the state of the build), as long as that object exists. Forgetting costs time and changes no answer, so only speed may depend on it.
 * Never use them on an object that is changed in place.
 */

/** A version of `make` that works out its answer once for each object. */
export const memoised = <Whole extends object, T>(make: (whole: Whole) => T): ((whole: Whole) => T) => {
  const made = new WeakMap<Whole, { readonly value: T }>();
  return (whole) => {
    const known = made.get(whole) ?? { value: make(whole) };
    made.set(whole, known);
    return known.value;
  };
};

/**
 * The same for a `make` that is also asked about objects which are still being changed (drafts): it remembers only for frozen ones. States
 * of jobs are frozen, with all that is in them, once they are made.
 */
export const memoisedFrozen = <Whole extends object, T>(make: (whole: Whole) => T): ((whole: Whole) => T) => {
  const known = memoised(make);
  return (whole) => (Object.isFrozen(whole) ? known(whole) : make(whole));
};

/**
 * A version of `make` that works out its answer once for each object and key. Keys are compared as a Map compares them. `nameOf` gives the
 * value to compare where the keys are made anew each time.
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
