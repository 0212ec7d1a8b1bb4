import { isRefusalCode } from '../../fault/codes.ts';
import { err, refusal, type Refusal } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import { unknownId } from '../../fault/unknown.ts';
import { overrulable } from '../departure.ts';
import { stampOf } from '../draft.ts';
import { powerRefusals } from '../refusals/power.ts';
import { currentStep } from '../where.ts';
import { takeUnless, type Act, type Ask } from './act.ts';

const signsToo = ({ command, data, moment }: Ask<'depart'>): readonly string[] => {
  const { agreed } = data;
  const isDesigner = agreed !== undefined && own(moment.around.people, agreed)?.powers.includes('designer') === true;
  return isDesigner && agreed !== command.by ? [agreed] : [];
};

const strictRefusals = ({ job, data }: Ask<'depart'>): readonly Refusal[] =>
  job.plan.strict && data.code !== 'manual'
    ? [
        refusal(
          'strict',
          `${job.procedure} is strict: no departure overrules what it refuses`,
          'the only way on is another revision',
        ),
      ]
    : [];

/**
 * A departure that a strict procedure would ignore is refused, so that nobody relies on it. A `manual` departure overrules nothing and is
 * always recorded.
 */
export const departAct: Act<'depart'> = {
  decide: (ask) => {
    const { code } = ask.data;
    if (code !== 'manual' && !isRefusalCode(code))
      return err(unknownId(`no refusal '${code}'`, code, [...overrulable, 'manual']));
    const isHeeded = code === 'manual' || overrulable.includes(code);
    const refusals = [
      ...powerRefusals(ask.command.by, ['builder'], 'depart from the manual', ask.moment),
      ...strictRefusals(ask),
    ];
    return takeUnless(ask, currentStep(ask.job), refusals, {
      also: signsToo(ask),
      told: isHeeded ? [] : [`kept on paper; ${code} is not overruled by a departure`],
    });
  },
  evolve: (draft, entry) => {
    const { code, says, did, because, agreed } = entry.data;
    draft.departures.push({
      ...stampOf(entry),
      code,
      says,
      did,
      because,
      ...(agreed === undefined ? {} : { agreed }),
    });
  },
  words: () => 'departure entered',
};
