import { join } from 'node:path';
import type { Procedure } from '../../procedure/model.ts';
import type { Workplace } from '../place.ts';
import { boundedBytes, readProcedureFile, yamlNames } from './procedures.ts';
import { kindAt } from './revisions.ts';

/** True where the text of a file contains "answers". Other files need not be parsed, which keeps `status` fast. */
const mayAnswer = (path: string): boolean => {
  const bytes = kindAt(path) === 'file' ? boundedBytes(path) : 0;
  return typeof bytes !== 'number' && Buffer.from(bytes).includes('answers');
};

/** The procedures of the folder that answer a bulletin. Files that cannot be read are skipped. */
export const answeringProcedures = ({ procedures }: Pick<Workplace, 'procedures'>): readonly Procedure[] =>
  kindAt(procedures) === 'folder'
    ? yamlNames(procedures)
        .map((name) => join(procedures, name))
        .filter(mayAnswer)
        .flatMap((path) => {
          const { procedure } = readProcedureFile(path, true);
          return procedure?.answers === undefined ? [] : [procedure];
        })
    : [];
