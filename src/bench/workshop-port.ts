import { join } from 'node:path';
import type { Fault, Outcome } from '../fault/fault.ts';
import { ownKeysFolder, peopleWithKeys, scriptedKeys } from '../store/key-files.ts';
import type { Done } from '../workshop/intent.ts';
import { keyring } from '../workshop/keys/keyring.ts';
import type { Procedure } from '../procedure/model.ts';
import { answeringProcedures } from '../workshop/procedures/bulletins.ts';
import type { Workplace } from '../workshop/place.ts';
import { beginBuild } from '../workshop/keys/people.ts';
import { faultyFile, procedureFiles, type ProcedureFile } from '../workshop/procedures/procedures.ts';
import type { Workshop } from '../workshop/workshop.ts';
import { book } from './book-port.ts';
import {
  isBookVerb,
  type Act,
  type Reply,
  type BenchPort,
  type NewcomerForm,
  type Secrets,
  type Startable,
} from './ports.ts';

export interface WorkshopPortParts {
  readonly workshop: Workshop;
  /** `--key FILE`. */
  readonly keyFile?: string;
  /** Saves a setting of this person, without waiting for it. */
  readonly keep: BenchPort['keep'];
}

/** At the bench a locked key is not a fault: its passphrase is asked for. */
const answerTo = (fault: Fault): Reply =>
  (fault.code === 'passphrase-wanted' || fault.code === 'passphrase') && fault.where !== undefined
    ? { kind: 'locked', person: fault.where, wrong: fault.code === 'passphrase' }
    : { kind: 'fault', fault };

const answerOf = (outcome: Outcome<Done>, state: string): Reply => {
  if (!outcome.ok) return answerTo(outcome.fault);
  const { record } = outcome.value;
  return {
    kind: 'done',
    done: record === undefined ? outcome.value : { ...outcome.value, record: join(state, record) },
  };
};

const startableOf = (file: ProcedureFile): Startable =>
  file.procedure
    ? { id: file.id, title: file.procedure.title, procedure: file.procedure, sha256: file.sha256 }
    : { id: file.id, title: file.id, fault: faultyFile(file) };

const startables = (folder: string): readonly Startable[] => {
  try {
    return procedureFiles(folder).map(startableOf);
  } catch {
    return []; // The folder is missing or cannot be read: the screen says that there is no procedure.
  }
};

const answering = (place: Workplace): readonly Procedure[] => {
  try {
    return answeringProcedures(place);
  } catch {
    return [];
  }
};

/** The bench's port on a workshop that is open. */
export const workshopPort = ({ workshop, keyFile, keep }: WorkshopPortParts): BenchPort => {
  const { place } = workshop;
  let signedOn: string | undefined;
  /** The passphrase chosen in the first run, so that it is not asked for again at the first act. */
  let introduced: Secrets = {};
  /** The passphrase that a newcomer chose, until their introduction is entered. */
  let newcomer: { readonly act: Act; readonly secrets: Secrets } | undefined;
  let people: readonly string[] | undefined;
  const signers = keyring(place, workshop.state, () => signedOn);
  return {
    build: workshop.state,
    submit: (act, secrets, by) => {
      signedOn = by;
      const passphrases = { ...introduced, ...secrets };
      introduced = {};
      const given = { passphrases, ...(keyFile === undefined ? {} : { keyFile }) };
      if (!isBookVerb(act.verb))
        return answerOf(workshop.submit({ ...act, verb: act.verb }, signers(given)), place.state);
      // Where a key has to be opened first, the newcomer's passphrase is not asked for again.
      const chosen = newcomer?.act === act ? { ...newcomer.secrets, ...secrets } : secrets;
      newcomer = { act, secrets: chosen };
      const booked = book(workshop, { ...act, verb: act.verb }, chosen, signers(given));
      if (!booked.ok) return answerTo(booked.fault);
      newcomer = undefined;
      people = undefined;
      const at = workshop.openState.clock.at();
      const told = [booked.value];
      return { kind: 'done', done: { entry: '', at, by: act.by, job: '', type: 'build', data: { sha256: '' }, told } };
    },
    introduce: (first: NewcomerForm) => {
      const begun = beginBuild(workshop, first, first.gates);
      if (!begun.ok) return answerTo(begun.fault);
      people = undefined;
      introduced = { [first.person]: first.passphrase };
      const { openState } = workshop;
      const at = openState.clock.at();
      return { kind: 'done', done: { entry: '', at, by: first.person, job: '', type: 'key', data: {}, told: [] } };
    },
    procedures: () => startables(place.procedures),
    answering: () => answering(place),
    keys: () => {
      if (people) return people;
      const folder = workshop.state().scripted ? scriptedKeys(place.state) : ownKeysFolder(place.config);
      const found = peopleWithKeys(place.disk, folder);
      return (people = found.ok ? found.value : []);
    },
    keep,
  };
};
