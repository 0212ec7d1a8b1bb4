import type { Outcome } from '../fault/fault.ts';
import { takeLock, type Lock } from '../store/lock.ts';
import { realProcesses } from '../store/processes.ts';
import type { Workplace } from './place.ts';

/** Takes the lock of a state for this process. @param realState the state's real path, by which the lock goes. */
export const lockState = ({ disk, cache, config }: Workplace, realState: string): Outcome<Lock> =>
  takeLock({ disk, cache, config, realState, processes: realProcesses });
