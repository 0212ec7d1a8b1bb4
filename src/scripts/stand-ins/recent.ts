/**
 * Remembers answers to recent questions, and at most `2 * limit` of them: when the younger of two maps is full, the older one is dropped.
 * A frame of the bench asks a few hundred.
 *
 * @param limit entries
 */
export const recent = <Answer extends object | string>(limit: number) => {
  let [young, old] = [new Map<string, Answer>(), new Map<string, Answer>()];
  return (key: string, answer: () => Answer): Answer => {
    const known = young.get(key);
    if (known !== undefined) return known;
    const found = old.get(key) ?? answer();
    if (young.size >= limit) [young, old] = [new Map<string, Answer>(), young];
    young.set(key, found);
    return found;
  };
};
