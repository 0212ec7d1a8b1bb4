import type { Data, Datum } from '../job/entry.ts';
import { isVerb, verbSpec, isLookVerb } from '../job/verbs.ts';
import type { Done } from '../workshop/intent.ts';

const datumText = (value: Datum): string => {
  if (Array.isArray(value)) return value.map(datumText).join(', ');
  if (typeof value === 'object' && value !== null)
    return Object.entries(value)
      .map(([key, item]) => `${key} ${datumText(item)}`)
      .join(', ');
  return String(value);
};

/** What a person entered, without the hashes and signatures that the program added. */
const fieldsText = (type: string, data: Data): string => {
  if (!isVerb(type)) return '';
  const { object, fields } = verbSpec(type);
  const parts = fields.flatMap(({ name }) => {
    const value = data[name];
    // The engine numbers every value of a reading; the first is printed without its number.
    const isPlain = value === undefined || (name === 'n' && value === 1);
    return isPlain ? [] : [`${name}=${datumText(value)}`];
  });
  const bare = object === undefined ? undefined : data[object.name];
  return [...(bare === undefined ? [] : [datumText(bare)]), ...parts].join(' ');
};

/** One entry that was taken: when, who, what, and the verdict. */
export const doneLine = (done: Done): string => {
  const what = [done.type, fieldsText(done.type, done.data)].filter((part) => part !== '').join(' ');
  // A look from elsewhere: carried in by one person, signed by another.
  const signed = isLookVerb(done.type) && 'person' in done.data ? done.data.person : undefined;
  const whose = signed !== undefined && signed !== done.by ? ` (signed by ${signed})` : '';
  const counts = 'refused' in done.data ? ', not counted' : '';
  return `${done.at} ${done.by} ${what}${whose}${done.verdict === undefined ? '' : `: ${done.verdict}${counts}`}`;
};

/** The same, with what the engine has to say about it. */
export const doneLines = (done: Done): readonly string[] => [
  doneLine(done),
  ...done.told.map((line) => `  ${line}`),
  ...(done.type === 'start' ? [`  job ${done.job}`] : []),
  ...(done.record === undefined ? [] : [`  record ${done.record}`]),
];
