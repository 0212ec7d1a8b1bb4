import type { BuildVerb } from '../../job/verbs.ts';
import type { BuildAct } from './act.ts';
import { clockAct } from './clock.ts';
import { settleAct } from './settle.ts';
import { startAct } from './start.ts';
import { temperatureAct } from './temperature.ts';
import { temperaturesAct } from './temperatures.ts';
import { toolAct } from './tool.ts';

/** Every verb of the whole build. The program does not compile while a verb has no act. */
export const buildActs: { readonly [V in BuildVerb]: BuildAct<V> } = {
  start: startAct,
  tool: toolAct,
  temperature: temperatureAct,
  temperatures: temperaturesAct,
  settle: settleAct,
  clock: clockAct,
};
