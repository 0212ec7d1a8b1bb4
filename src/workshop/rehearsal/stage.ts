import { stringify } from 'yaml';
import { buildFileOf, type PersonLine } from '../../aircraft/file.ts';
import { err, ok, usage, type Outcome } from '../../fault/fault.ts';
import { signingPowers, wantsSignature, type Power } from '../../job/surroundings.ts';
import { toPlain, type Tree } from '../../procedure/tree.ts';
import { readYaml } from '../../procedure/yaml.ts';
import type { Instant } from '../../quantity/time.ts';
import type { Signer } from '../../signing/signer.ts';
import { stateFiles } from '../../store/layout.ts';
import { takeInDraft } from '../draft.ts';
import { keyring } from '../keys/keyring.ts';
import { hasDraft, readDraftText, writeDraft } from '../draft-file.ts';
import { introduce } from '../keys/people.ts';
import type { Workplace } from '../place.ts';
import type { Stage } from './rehearsal.ts';
import type { Script } from './script.ts';
import { sameData } from '../../proof/canonical.ts';
import { timeFrom } from './times.ts';
import { openWorkshop, type Workshop } from '../workshop.ts';

const signs = ({ powers }: PersonLine): boolean => powers.some((power) => signingPowers.includes(power));

const acceptsOf = ({ powers }: PersonLine): readonly Power[] => powers.filter(wantsSignature);

const notScripted = usage(
  'not-scripted',
  'this state holds real entries; a rehearsal never writes there',
  'name another folder with --state',
);

/** Introduces throwaway keys for everybody who signs. The first line marks the state as scripted for ever. */
const castPeople = (workshop: Workshop, people: readonly PersonLine[]): Outcome<ReadonlyMap<string, Signer>> => {
  const cast = new Map<string, Signer>();
  const [first] = people;
  for (const line of people) {
    const introducer = first && cast.get(first.person);
    const signer = introduce(
      workshop,
      { person: line.person, accepts: acceptsOf(line), ...(line.name === undefined ? {} : { name: line.name }) },
      first && introducer ? { by: first.person, signer: introducer } : undefined,
      cast.size === 0,
    );
    if (!signer.ok) return signer;
    cast.set(line.person, signer.value);
  }
  return ok(cast);
};

/** Begins a new state from a script's `build:`. Nothing is written before all of it was read without fault. */
const beginScripted = (workshop: Workshop, script: Script): Outcome<true> => {
  const { build: tree, file } = script;
  if (tree === undefined)
    return err(
      usage('build-missing', 'the state is new, and the script has no build:', 'say who works on it', `${file}:1:1`),
    );
  const { build, faults } = buildFileOf(tree, file);
  if (build === undefined) {
    const [first] = faults;
    return err({ ...(first ?? notScripted), kind: 'usage' });
  }
  const people = build.people.filter(signs);
  const [first] = people;
  if (first === undefined)
    return err(
      usage(
        'people-missing',
        'nobody in build: can sign',
        'give somebody the power builder',
        `${file}:${tree.line}:${tree.column}`,
      ),
    );
  const cast = castPeople(workshop, people);
  if (!cast.ok) return cast;
  const written = writeDraft(workshop.place, stringify(toPlain(tree)));
  if (!written.ok) return written;
  const taken = takeInDraft(workshop.openState, first.person, (person) => {
    const signer = cast.value.get(person);
    return signer ? ok(signer) : err(usage('key-missing', `${person} has no key`, 'give them a power that signs'));
  });
  return taken.ok ? ok(true) : taken;
};

/** The script's `build:` must be equal to the build.yaml of an existing state. */
const sameBuild = (workshop: Workshop, script: Script, tree: Tree): Outcome<true> => {
  const text = readDraftText(workshop.place);
  const lies = text.ok ? readYaml(text.value, stateFiles.draft).tree : undefined;
  return lies && sameData(toPlain(lies), toPlain(tree))
    ? ok(true)
    : err(
        usage(
          'build-differs',
          'the state has another build than the script',
          'leave build: out, or name a new folder with --state',
          `${script.file}:${tree.line}:${tree.column}`,
        ),
      );
};

const setScene = (workshop: Workshop, script: Script): Outcome<true> => {
  const state = workshop.state();
  const closed = workshop.closed();
  if (closed) return err(closed);
  if (state.entries > 0) {
    if (!state.scripted) return err(notScripted);
    return script.build === undefined ? ok(true) : sameBuild(workshop, script, script.build);
  }
  if (script.build === undefined || !hasDraft(workshop.place)) return beginScripted(workshop, script);
  const same = sameBuild(workshop, script, script.build);
  return same.ok ? beginScripted(workshop, script) : same;
};

const begins = (script: Script): Outcome<Instant> => {
  const [entry] = script.entries;
  const at =
    entry?.at === undefined
      ? err(usage('at-missing', 'the first entry has no time', 'write at: and an instant with its offset'))
      : timeFrom(entry.at, undefined);
  return at.ok ? at : err({ ...at.fault, where: entry?.where ?? `${script.file}:1:1` });
};

/**
 * Opens a state for a rehearsal: a new one, or one that is scripted. Both clocks show the time that the script gives.
 * Faults: `not-scripted`, `build-missing`, `build-differs`, `at-missing` (usage); those of opening.
 */
export const openStage = (place: Omit<Workplace, 'wall' | 'monotonic' | 'offset'>, script: Script): Outcome<Stage> => {
  const start = begins(script);
  if (!start.ok) return start;
  let now = start.value;
  const opened = openWorkshop(
    { ...place, wall: () => now.ms, monotonic: () => now.ms, offset: () => now.offset },
    'write',
  );
  if (!opened.ok) return opened;
  const workshop = opened.value;
  const set = setScene(workshop, script);
  if (!set.ok) {
    workshop.close();
    return set;
  }
  const ring = keyring(workshop.place, workshop.state, () => undefined);
  return ok({
    workshop,
    setTime: (instant) => {
      now = instant;
    },
    submit: (act) => workshop.submit(act, ring({})),
  });
};
