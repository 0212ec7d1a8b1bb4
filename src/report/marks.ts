import type { RecordStep } from '../record/document-step.ts';
import type { RecordTry } from '../record/parts/reading.ts';
import type { Run } from './sheet.ts';

const verdicts: Readonly<Record<NonNullable<RecordTry['verdict']>, Run>> = {
  within: { mark: '✓ within', state: 'good' },
  'within, twin open': { mark: '✓ within, twin open', state: 'open' },
  outside: { mark: '✗ outside', state: 'bad' },
  undecided: { mark: '? undecided', state: 'open' },
};

/** A verdict as word and symbol; nothing where nothing was decided. */
export const verdictMark = (verdict: RecordTry['verdict'] | undefined): readonly Run[] =>
  verdict === undefined ? [] : [verdicts[verdict]];

const stepStates: Readonly<Record<RecordStep['state'], Run>> = {
  finished: { mark: '✓ finished', state: 'good' },
  'left for later': { mark: '→ left for later', state: 'open' },
  'not done': { mark: '✗ not done', state: 'bad' },
  'did not apply': { mark: '· did not apply', state: 'open' },
  open: { mark: '… open', state: 'open' },
};

export const stepMark = (state: RecordStep['state']): Run => stepStates[state];

export const good = (mark: string): Run => ({ mark: `✓ ${mark}`, state: 'good' });
export const bad = (mark: string): Run => ({ mark: `✗ ${mark}`, state: 'bad' });
export const open = (mark: string): Run => ({ mark: `… ${mark}`, state: 'open' });
