// For the rooms that still import from here.
export type { Trouble } from './parts/part.ts';
export { ownVerdict, verdictOfTry } from './parts/reading.ts';
export { verdictOfResult } from './parts/result.ts';
export { fastenerNow, verdictOfFastener } from './parts/tighten.ts';
export { twinNow } from './parts/twin.ts';
export { fastenerTorqueNow, wrenchLimits } from './parts/wrench.ts';
export { troublesOf } from './troubles.ts';
