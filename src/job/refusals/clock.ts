import { refusal, type Refusal } from '../../fault/fault.ts';
import type { Moment } from '../moment.ts';

/** Rules on time refuse while the clock is in doubt. */
export const clockRefusals = ({ around }: Moment): readonly Refusal[] =>
  around.clockTrouble === undefined ? [] : [refusal('clock', around.clockTrouble, 'enter the true time (clock)')];
