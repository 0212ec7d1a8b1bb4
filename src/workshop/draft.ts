import { wantsSignature } from '../job/surroundings.ts';
import type { PlannedPage } from '../job/verb-spec.ts';
import { readBuildFile, type BuildFile } from '../aircraft/file.ts';
import { err, ok, type Fault, type Outcome } from '../fault/fault.ts';
import { sha256Hex } from '../proof/hash.ts';
import { sameData } from '../proof/canonical.ts';
import type { CoSigner, Signer } from '../signing/signer.ts';
import { notice, type Notice } from '../store/disk-fault.ts';
import { stateFiles } from '../store/layout.ts';
import { readHashed } from '../store/hashed-file.ts';
import { keepFiles } from './attached-files.ts';
import { hasDraft, readDraftText, writeDraft } from './draft-file.ts';
import { writeLine, type OpenState } from './open-state.ts';
import type { Workplace } from './place.ts';
import type { SignerOf } from './keys/signers.ts';
import { pagesIn, pagesTold } from './procedures/pages.ts';
import { own } from '../fault/own.ts';

/** build.yaml in the state folder. It is a draft until it is taken in. */
export interface BuildDraft {
  readonly text: string;
  readonly sha256: string;
  readonly file?: BuildFile;
  readonly faults: readonly Fault[];
}

const textOfDraft = (place: Workplace): Outcome<string | undefined> =>
  hasDraft(place) ? readDraftText(place) : ok(undefined);

/** @param known the hash of a text that is not read again. */
const draftUnless = (place: Workplace, known: string | undefined): Outcome<BuildDraft | undefined> => {
  const text = textOfDraft(place);
  if (!text.ok) return text;
  if (text.value === undefined) return ok(undefined);
  const sha256 = sha256Hex(text.value);
  if (sha256 === known) return ok(undefined);
  const { build, faults } = readBuildFile(text.value, stateFiles.draft);
  return ok({ text: text.value, sha256, faults, ...(build === undefined ? {} : { file: build }) });
};

/** The draft, or `undefined` where there is none. */
export const readBuildDraft = ({ place }: Pick<OpenState, 'place'>): Outcome<BuildDraft | undefined> =>
  draftUnless(place, undefined);

/** The draft, if it differs from the build in force. A draft that does not differ is not parsed, because this runs before every entry. */
const changedDraft = ({ place, state }: OpenState): Outcome<BuildDraft | undefined> =>
  draftUnless(place, state.fileSha256);

/** The most faults of a draft that are reported at once; the first ones are mended first. */
const mostTold = 3;

/**
 * What is wrong with a draft that is not taken in for that reason, each with its place. Every command says so, because it decides by the
 * build in force and not by what the person has just written.
 */
export const draftNotices = (openState: OpenState): readonly Notice[] => {
  const draft = changedDraft(openState);
  const faults = draft.ok ? (draft.value?.faults ?? []) : [draft.fault];
  const more = faults.length - mostTold;
  return [
    ...faults
      .slice(0, mostTold)
      .map(({ what, todo, where }) => notice('draft-faulty', `${what}; ${todo}; the build in force stays`, where)),
    ...(more > 0 ? [notice('draft-faulty', `${more} more; dryfit check lists them`, stateFiles.draft)] : []),
  ];
};

/** People to whom the draft gives an inspector's or a designer's power that they have not signed for. */
const newlyPowered = (openState: OpenState, file: BuildFile): readonly string[] =>
  file.people
    .filter(({ person, powers }) => {
      const accepted = own(openState.state.accepted, person) ?? [];
      return powers.some((power) => wantsSignature(power) && !accepted.includes(power));
    })
    .map(({ person }) => person);

/** Those of them who can sign now. The others sign for their power later, with their own key. */
const signing = (people: readonly string[], signerOf: SignerOf): readonly CoSigner[] =>
  people.flatMap((by) => {
    const signer = signerOf(by);
    return signer.ok ? [{ by, signer: signer.value }] : [];
  });

/** True for a draft that was taken in before and was since replaced by another machine's change. Nobody edited it here. */
const isBehind = (openState: OpenState, sha256: string): boolean =>
  openState.heads.size > 1 && readHashed(openState.place.disk, openState.place.state, 'builds', sha256, 'yaml').ok;

/** Replaces the draft by the build in force, which another machine has taken in. */
const catchUp = ({ place, state }: OpenState): Outcome<readonly string[]> => {
  const text = readHashed(place.disk, place.state, 'builds', state.fileSha256, 'yaml');
  if (!text.ok) return text;
  const written = writeDraft(place, text.value);
  return written.ok ? ok(['build.yaml was behind what was taken in elsewhere, and is as in force again']) : written;
};

/** What the procedures folder holds, if it is not what was last taken in. */
const changedPages = (openState: OpenState): readonly PlannedPage[] | undefined => {
  const pages = pagesIn(openState);
  return pages === undefined || sameData(pages, openState.state.pages) ? undefined : pages;
};

/** Writes a `build` entry: the build.yaml in force from here on, and the pages of the folder where they have changed. */
const writeBuild = (
  openState: OpenState,
  { sha256, pages }: { readonly sha256: string; readonly pages: readonly PlannedPage[] | undefined },
  { by, signer, others }: { readonly by: string; readonly signer: Signer; readonly others: readonly CoSigner[] },
): Outcome<readonly string[]> => {
  const before = openState.state.pages;
  const data = { sha256, ...(pages === undefined ? {} : { pages }) };
  const entry = { type: 'build', by, job: '', at: openState.clock.at(), data };
  const written = writeLine(openState, entry, { signer, others });
  return written.ok ? ok(pages === undefined ? [] : pagesTold(before, openState.state)) : written;
};

/** Takes in what the procedures folder holds, where nothing else of the build has changed. */
const takeInPages = (openState: OpenState, by: string, signerOf: SignerOf): Outcome<readonly string[]> => {
  const sha256 = openState.state.fileSha256;
  const pages = sha256 === '' ? undefined : changedPages(openState);
  if (pages === undefined) return ok([]);
  const signer = signerOf(by);
  return signer.ok ? writeBuild(openState, { sha256, pages }, { by, signer: signer.value, others: [] }) : signer;
};

/**
 * Takes in a changed build.yaml as an entry, signed by the person who makes the next entry, with what the procedures folder holds. A draft
 * that cannot be read is reported and left: the build in force stays, so that the person can still enter what was done.
 * @param asksForPlan whether the next entry is decided by the plan, so that a changed folder alone is taken in too.
 */
export const takeInDraft = (
  openState: OpenState,
  by: string,
  signerOf: SignerOf,
  asksForPlan = false,
): Outcome<readonly string[]> => {
  const draft = changedDraft(openState);
  if (!draft.ok) return draft;
  const pagesAlone = (): Outcome<readonly string[]> => (asksForPlan ? takeInPages(openState, by, signerOf) : ok([]));
  if (draft.value === undefined) return pagesAlone();
  const { text, sha256, file, faults } = draft.value;
  if (file === undefined) {
    const [first] = faults;
    const isTold = openState.notices.some(({ code }) => code === 'draft-faulty');
    const told = `build.yaml is not taken in: ${first?.where ?? ''} ${first?.what ?? ''}; the build in force stays`;
    const pages = pagesAlone();
    return pages.ok ? ok([...(isTold ? [] : [told]), ...pages.value]) : pages;
  }
  if (isBehind(openState, sha256)) return catchUp(openState);
  const signer = signerOf(by);
  if (!signer.ok) return err(signer.fault);
  const others = signing(
    newlyPowered(openState, file).filter((person) => person !== by),
    signerOf,
  );
  const kept = keepFiles(openState, [{ folder: 'builds', extension: 'yaml', bytes: Buffer.from(text, 'utf8') }]);
  if (!kept.ok) return kept;
  openState.library.putBuild(sha256, file);
  const pages = changedPages(openState);
  const written = writeBuild(openState, { sha256, pages }, { by, signer: signer.value, others });
  return written.ok ? ok(['build.yaml is taken in', ...written.value]) : written;
};
