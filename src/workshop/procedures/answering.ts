import { join } from 'node:path';
import type { Workplace } from '../place.ts';
import { boundedBytes, kindAt, yamlNames } from './folder-files.ts';

/** True where the text of a file contains "answers". Other files need not be parsed, which keeps `status` fast. */
const mayAnswer = (path: string): boolean => {
  const bytes = kindAt(path) === 'file' ? boundedBytes(path) : 0;
  return typeof bytes !== 'number' && Buffer.from(bytes.buffer, bytes.byteOffset, bytes.length).includes('answers');
};

/** The paths of the folder's files that may answer a bulletin: nothing is known of them yet but that they contain the word. */
export const mayAnswerIn = ({ procedures }: Pick<Workplace, 'procedures'>): readonly string[] =>
  kindAt(procedures) === 'folder'
    ? yamlNames(procedures)
        .map((name) => join(procedures, name))
        .filter(mayAnswer)
    : [];
