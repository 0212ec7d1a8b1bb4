import { stageWords } from '../job/stage-words.ts';
import type { CureStatus } from './status.ts';

/** How far a stage has come, in words. @param hours a time in ms in words. */
export const stageStatusWords = (
  { countedMs = 0, ...stage }: CureStatus['stages'][number],
  hours: (ms: number) => string,
): string => stageWords({ countedMs, ...stage }, hours);
