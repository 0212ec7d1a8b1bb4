import { readdirSync } from 'node:fs';
import { join } from 'node:path';
import type { Procedure } from '../../procedure/model.ts';
import type { Workplace } from '../place.ts';
import { boundedBytes, readProcedureFile } from './procedures.ts';
import { kindAt } from './revisions.ts';

/** A file that answers nothing says so without being read as YAML: status is asked for all day. */
const mayAnswer = (path: string): boolean => {
  const bytes = kindAt(path) === 'file' ? boundedBytes(path) : 0;
  return typeof bytes !== 'number' && Buffer.from(bytes).includes('answers');
};

/** The procedures of the folder that answer a bulletin; those that cannot be read are passed over. */
export const answeringProcedures = ({ procedures }: Pick<Workplace, 'procedures'>): readonly Procedure[] =>
  kindAt(procedures) === 'folder'
    ? readdirSync(procedures)
        .filter((name) => name.endsWith('.yaml'))
        .toSorted()
        .map((name) => join(procedures, name))
        .filter(mayAnswer)
        .flatMap((path) => {
          const { procedure } = readProcedureFile(path, true);
          return procedure?.answers === undefined ? [] : [procedure];
        })
    : [];
