import type { Procedure } from '../../procedure/model.ts';
import type { Workplace } from '../place.ts';
import { mayAnswerIn } from './answering.ts';
import { readProcedureFile } from './procedures.ts';

/** The procedures of the folder that answer a bulletin. Files that cannot be read are skipped. */
export const answeringProcedures = (place: Pick<Workplace, 'procedures'>): readonly Procedure[] =>
  mayAnswerIn(place).flatMap((path) => {
    const { procedure } = readProcedureFile(path, true);
    return procedure?.answers === undefined ? [] : [procedure];
  });
