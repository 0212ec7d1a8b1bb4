import type { BuildVerb } from '../../job/verbs.ts';
import type { BuildAct } from './act.ts';
import { clock } from './clock.ts';
import { settle } from './settle.ts';
import { start } from './start.ts';
import { temperature } from './temperature.ts';
import { temperatures } from './temperatures.ts';
import { tool } from './tool.ts';

/** Every verb of the whole build. A verb without an act does not compile. */
export const buildActs: { readonly [V in BuildVerb]: BuildAct<V> } = {
  start,
  tool,
  temperature,
  temperatures,
  settle,
  clock,
};
