import { stampOf } from '../evolve/draft.ts';
import { settle, type Act } from './act.ts';

export const park: Act<'park'> = {
  decide: (ask) => settle(ask, undefined, []),
  evolve: (draft, entry) => {
    const { because, 'waits-for': waitsFor, state, where } = entry.data;
    draft.parks.push({ ...stampOf(entry), because, waitsFor, state, where });
  },
  words: () => 'parked',
};
