import type { Check } from './checks/checking.ts';
import { checkCovers, checkPermanence, checkProofs, checkReliances } from './checks/features.ts';
import { checkHelpers, checkPotLife } from './checks/glue.ts';
import { checkGather, checkTaken } from './checks/gather.ts';
import { checkAfter, checkHolds, checkLoose, checkTwins } from './checks/points.ts';
import { checkAcceptance, checkReach } from './checks/reach.ts';
import { checkSides } from './checks/sides.ts';
import { checkSources, checkStyle } from './checks/style.ts';

/** What the trade asks of a procedure whose text can be read: every check that needs one file alone. */
export const checks: readonly Check[] = [
  checkSides,
  checkTwins,
  checkAfter,
  checkAcceptance,
  checkReach,
  checkHolds,
  checkProofs,
  checkPermanence,
  checkReliances,
  checkCovers,
  checkPotLife,
  checkHelpers,
  checkGather,
  checkTaken,
  checkLoose,
  checkSources,
  checkStyle,
];
