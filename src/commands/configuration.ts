import { ok, type Outcome } from '../fault/fault.ts';
import { realDisk } from '../store/disk.ts';
import { readSettings, type Settings } from '../store/settings.ts';
import type { Workplace } from '../workshop/place.ts';
import { fromHere, ownFolders } from './folders.ts';
import { progressOn } from './progress.ts';
import type { Call } from './spec.ts';
import { whichProcedures, whichState, type WhichState } from './which-state.ts';

/** Where a command works, as its options say, else the environment, else the person's settings, else the usual folders. */
export interface Configuration {
  readonly place: Workplace;
  readonly settings: Settings;
  /** How the state folder was chosen. */
  readonly chosen: WhichState['how'];
}

/** An empty variable or setting names nothing. */
const stateNamed = (call: Call, settings: Settings): string | undefined =>
  call.text('state') ?? [call.host.env.variables['DRYFIT_STATE'], settings.state].find((text) => text);

/** The configuration of a call. A fault where the settings cannot be read. */
export const configurationOf = (call: Call): Outcome<Configuration> => {
  const { env, clock } = call.host;
  const { config, cache } = ownFolders(env);
  const settings = readSettings(realDisk, config);
  if (!settings.ok) return settings;
  const which = whichState(realDisk, env, stateNamed(call, settings.value));
  if (!which.ok) return which;
  const procedures = call.text('procedures') ?? settings.value.procedures;
  const place: Workplace = {
    disk: realDisk,
    state: which.value.state,
    config,
    cache,
    procedures: procedures === undefined ? whichProcedures(realDisk, env, which.value) : fromHere(env, procedures),
    wall: clock.wall,
    monotonic: clock.monotonic,
    offset: clock.offset,
    random: env.random,
    variables: env.variables,
    progress: progressOn(call),
    ...(env.program === undefined ? {} : { program: env.program }),
    ...(env.threads === undefined ? {} : { threads: env.threads }),
  };
  return ok({ place, settings: settings.value, chosen: which.value.how });
};
