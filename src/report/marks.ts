import type { Run } from './sheet.ts';

type Verdict = 'within' | 'within, twin open' | 'outside' | 'undecided';

const verdicts: Readonly<Record<Verdict, Run>> = {
  within: { mark: '✓ within', state: 'good' },
  'within, twin open': { mark: '✓ within, twin open', state: 'open' },
  outside: { mark: '✗ outside', state: 'bad' },
  undecided: { mark: '? undecided', state: 'open' },
};

/** A verdict as word and symbol; nothing where nothing was decided. */
export const verdictMark = (verdict: Verdict | undefined): readonly Run[] =>
  verdict === undefined ? [] : [verdicts[verdict]];

const stepStates = {
  finished: { mark: '✓ finished', state: 'good' },
  'left for later': { mark: '→ left for later', state: 'open' },
  'did not apply': { mark: '· did not apply', state: 'open' },
  open: { mark: '… open', state: 'open' },
} as const satisfies Readonly<Record<string, Run>>;

export const stepMark = (state: keyof typeof stepStates): Run => stepStates[state];

export const good = (mark: string): Run => ({ mark: `✓ ${mark}`, state: 'good' });
export const bad = (mark: string): Run => ({ mark: `✗ ${mark}`, state: 'bad' });
export const open = (mark: string): Run => ({ mark: `… ${mark}`, state: 'open' });
