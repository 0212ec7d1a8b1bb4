/** Made when it is first asked for, and then kept. */
export const once = <T>(make: () => T): (() => T) => {
  let made: { readonly value: T } | undefined;
  return () => (made ??= { value: make() }).value;
};

/** What is made of a whole, made when it is first asked for: every part of it asks. */
export const oncePer = <Whole extends object, T>(make: (whole: Whole) => T): ((whole: Whole) => T) => {
  const made = new WeakMap<Whole, { readonly value: T }>();
  return (whole) => {
    const known = made.get(whole) ?? { value: make(whole) };
    made.set(whole, known);
    return known.value;
  };
};
