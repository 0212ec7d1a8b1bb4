/** What may stand before the first key: a byte order mark, blank lines, comments, a `---`, an opening brace. */
const beforeFirst = /^\ufeff?(?:[ \t]*(?:#[^\n]*|---[ \t]*)?\r?\n)*[ \t]*\{?[ \t]*/;

const key = /^(?:"([^"\n]{1,200})"|'([^'\n]{1,200})'|(?![-?]\s)([^\s"'#:{}[\],][^\n:#{}[\],]{0,200}?))[ \t]*:(?=\s|$)/;

/** The first key of a file, without reading the rest of it; undefined where it does not begin with one. */
export const firstKey = (text: string): string | undefined => {
  const start = beforeFirst.exec(text)?.[0].length ?? 0;
  const found = key.exec(text.slice(start, start + 1000));
  return found?.[1] ?? found?.[2] ?? found?.[3];
};

/** Whether a file is a script of a session, which may be in a folder of procedures: its first key is `script`. */
export const looksLikeScript = (text: string): boolean => firstKey(text) === 'script';
