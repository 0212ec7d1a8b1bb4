/** True for text that parses as JSON. */
const isJson = (text: string): boolean => {
  try {
    JSON.parse(text);
    return true;
  } catch {
    return false;
  }
};

// However a JSON text was cut, one of these followed by the closing brackets completes it: the rest of a literal or number, a
// value after a comma or colon, a colon and value after a key, a member after a comma.
const rests = ['', '0', ':0', '"":0', 'rue', 'ue', 'e', 'alse', 'lse', 'se', 'ull', 'll', 'l'];
// and where it was cut inside a string: the rest of an escape (four digits are enough, and more are text), the quote, and a value where the
// string is a key
const stringRests = ['', '\\', '0000'].flatMap((rest) => [`${rest}"`, `${rest}":0`]);

const closers: Readonly<Record<string, string>> = { '{': '}', '[': ']' };

/** The brackets that close what is open at the end of the text, innermost first, and whether the text ends inside a string. */
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
 * True where the text is the beginning of a JSON object and not a whole one: this is what a power cut leaves of a line. Text that
 * no further characters could complete is damage.
 */
export const isCutObject = (text: string): boolean => {
  if (!text.startsWith('{') || isJson(text)) return false;
  const { closing, inString } = openEnds(text);
  return (inString ? stringRests : rests).some((rest) => isJson(`${text}${rest}${closing}`));
};
