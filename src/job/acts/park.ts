import type { Park } from '../state.ts';
import { photoIn, stampOf } from '../draft.ts';
import { takeUnless, type Act } from './act.ts';
import { correctsItem } from './correctable.ts';

export const parkAct: Act<'park'> = {
  decide: (ask) => takeUnless(ask, undefined, []),
  evolve: (draft, entry) => {
    const { because, 'waits-for': waitsFor, state, where } = entry.data;
    draft.parks.push({ ...stampOf(entry), because, waitsFor, state, where, ...photoIn(entry.data) });
  },
  words: () => 'parked',
  correct: correctsItem<'park', Park>({
    items: ({ parks }) => parks,
    names: { because: 'because', 'waits-for': 'waitsFor', state: 'state', where: 'where' },
    photo: true,
  }),
};
