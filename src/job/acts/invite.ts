import type { Look } from '../judged.ts';
import { drawer, stampOf, touch } from '../draft.ts';
import { takeUnless, type Act } from './act.ts';
import { holdAsked } from './hold-asked.ts';
import { correctsItem } from './correctable.ts';

/** The witness is invited to a witness point. */
export const inviteAct: Act<'invite'> = {
  decide: (ask) => {
    const asked = holdAsked(ask);
    return asked.ok ? takeUnless(ask, asked.value.step, []) : asked;
  },
  evolve: (draft, entry) => {
    const { step, who, how } = entry.data;
    drawer(draft.looks, step, () => []).push({
      ...stampOf(entry),
      kind: 'invite',
      person: entry.by,
      remote: false,
      self: false,
      findings: [],
      who,
      how,
    });
    touch(draft, step, entry);
  },
  words: (data) => `${data.who} invited`,
  correct: correctsItem<'invite', Look>({
    items: ({ looks }) =>
      Object.values(looks)
        .flat()
        .filter(({ kind }) => kind === 'invite'),
    names: { who: 'who', how: 'how' },
  }),
};
