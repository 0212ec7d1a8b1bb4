import type { StageNow } from './cure.ts';

/** What the words say of a stage, as `StageNow` has it. */
type StageSaid = Pick<StageNow, 'countedMs' | 'needMs' | 'percent'>;

/** What of a stage has counted, in words: `10 h`, or `48 %`. @param hours a time in ms in words. */
export const countedWords = ({ countedMs, needMs, percent }: StageSaid, hours: (ms: number) => string): string =>
  needMs === undefined ? `${percent} %` : hours(countedMs);

/** How far a stage has come, in words: `10 h of 24 h`, or `48 %`. @param hours a time in ms in words. */
export const stageWords = (stage: StageSaid, hours: (ms: number) => string): string =>
  stage.needMs === undefined ? countedWords(stage, hours) : `${countedWords(stage, hours)} of ${hours(stage.needMs)}`;
