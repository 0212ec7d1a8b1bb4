import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Step } from '../../procedure/model.ts';
import { contradictionText, type Contradiction } from '../contradiction.ts';
import type { Moment } from '../moment.ts';

/** Nothing may be finished or made permanent on work in contradiction: in this job, or in another one on which the steps depend. */
export const contradictionRefusals = (steps: readonly Step[], { around }: Moment): readonly Refusal[] => {
  const refuse = ({ entry }: Contradiction, what: string): Refusal =>
    refusal('contradiction', what, `settle it: settle ${entry.id} keep=yes, or keep=no`);
  return [
    ...around.contradictions.map((one) => refuse(one, contradictionText(one))),
    ...steps
      .flatMap((step) => around.contradictionsUnder(step))
      .map(({ contradiction, why }) => refuse(contradiction, `${why}; ${contradictionText(contradiction)}`)),
  ];
};
