import { refusal, type Refusal } from '../../fault/fault.ts';
import { own } from '../../fault/own.ts';
import type { Moment } from '../moment.ts';

/** Refuses a person who has none of the powers that an act needs. */
export const powerRefusals = (
  person: string,
  powers: readonly string[],
  act: string,
  { around }: Moment,
): readonly Refusal[] => {
  const has: readonly string[] = own(around.people, person)?.powers ?? [];
  return powers.some((power) => has.includes(power))
    ? []
    : [
        refusal(
          'power',
          `${person} has no power to ${act}`,
          `a person with the power ${powers.join(' or ')} does it, with their own key`,
        ),
      ];
};

/** Only builders perform work. */
export const performerRefusals = (moment: Moment): readonly Refusal[] =>
  powerRefusals(moment.by, ['builder'], 'perform', moment);
