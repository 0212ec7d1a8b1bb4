import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import { readCurePoint, type CurePoint } from './arrhenius.ts';

/** How long it was at each temperature: `4 h at 90 °F; 10 h at 60 °F`. */
export const readHistory = (text: string): Outcome<readonly CurePoint[]> => {
  const spells: CurePoint[] = [];
  for (const part of text.split(/;|,\s/)) {
    const spell = readCurePoint(part, 'history');
    if (!spell.ok) return spell;
    spells.push(spell.value);
  }
  return spells.length > 0 && spells.length <= 1000
    ? ok(spells)
    : err(
        usage(
          'input-wrong',
          'the history is empty or too long',
          'write it as in 4 h at 90 °F; 10 h at 60 °F',
          'history',
        ),
      );
};
