/** True for text that parses as JSON. */
const isJson = (text: string): boolean => {
  try {
    JSON.parse(text);
    return true;
  } catch {
    return false;
  }
};

// Whatever JSON was cut, one of these, then the closing brackets, makes it whole: the rest of a literal or number, a
// value after a comma or colon, a colon and value after a key, a member after a comma.
const rests = ['', '0', ':0', '"":0', 'rue', 'ue', 'e', 'alse', 'lse', 'se', 'ull', 'll', 'l'];
// and inside a string: the rest of an escape, the quote, and a value where the string is a key
const stringRests = ['', '\\', '0000', '000', '00', '0'].flatMap((rest) => [`${rest}"`, `${rest}":0`]);

const closers: Readonly<Record<string, string>> = { '{': '}', '[': ']' };

/** The brackets that are open at the end of the text, innermost first, and whether it ends inside a string. */
const openEnds = (text: string): { readonly closing: string; readonly inString: boolean } => {
  const open: string[] = [];
  let inString = false;
  for (let at = 0; at < text.length; at += 1) {
    const character = text.charAt(at);
    if (inString && character === '\\') at += 1;
    else if (character === '"') inString = !inString;
    else if (inString) continue;
    else if (character === '{' || character === '[') open.push(closers[character] ?? '');
    else if (character === '}' || character === ']') open.pop();
  }
  return { closing: open.toReversed().join(''), inString };
};

/**
 * True where the text is the beginning of a JSON object, but not the whole of one: what a line is after the power went
 * while it was written. Text that no further characters could complete is something else, and damage.
 */
export const isCutObject = (text: string): boolean => {
  if (!text.startsWith('{') || isJson(text)) return false;
  const { closing, inString } = openEnds(text);
  return (inString ? stringRests : rests).some((rest) => isJson(`${text}${rest}${closing}`));
};
