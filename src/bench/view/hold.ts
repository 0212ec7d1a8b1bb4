import type { Step } from '../../procedure/model.ts';
import { span, type Row } from '../drawing/rows.ts';
import { inspectionNow } from '../inspection-now.ts';
import type { JobNow } from '../job-now.ts';
import type { Canvas } from './page.ts';
import { sheetRows } from './sheet-rows.ts';

/** What the second person inspects: the sheet that they sign with their answer, then what temperatures say of it. */
export const holdText = (here: JobNow, step: Step, { width }: Canvas): readonly Row[] => {
  const { sheet, cures } = inspectionNow(here, step.step);
  return [
    ...sheetRows(sheet, width),
    ...sheetRows(cures, width),
    ...(step.hold?.remote === false
      ? [[span('Not from elsewhere: the inspector is here in person.', 'quiet')] as Row]
      : []),
  ];
};
