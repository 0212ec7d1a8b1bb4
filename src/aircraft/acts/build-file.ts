import { ok } from '../../fault/fault.ts';
import { quarantinesAfter } from '../stock.ts';
import type { Evolve } from './act.ts';
import { accept } from './key.ts';

/** Puts a new `build.yaml` in force. Whoever also signs the line accepts the powers that the file gives them. */
export const evolveBuildFile: Evolve<'build'> = (state, entry, { library }) => {
  const { sha256, pages = state.pages } = entry.data;
  const file = library.build(sha256);
  if (!file.ok) return file;
  const accepted = [entry.by, ...entry.also].reduce((so, person) => {
    const powers = file.value.people.find((line) => line.person === person)?.powers ?? [];
    return accept({ accepted: so }, person, powers);
  }, state.accepted);
  const quarantines = quarantinesAfter(state, file.value, entry);
  return ok({ ...state, file: file.value, fileSha256: sha256, pages, accepted, quarantines });
};
