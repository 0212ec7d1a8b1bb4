import { checkCoversAcross } from './folder/areas.ts';
import { checkProofsAcross, checkReliancesAcross } from './folder/features.ts';
import { type Folder, indexOf, type Member } from './folder/looking.ts';
import { checkCloses, checkGatePairs, checkGates, checkLooseAcross } from './folder/points.ts';
import { checkSequence } from './folder/sequence.ts';
import { type Message, sortMessages } from './message.ts';
import { orderOf } from './order.ts';

export interface FolderOptions {
  /** The build's gates in order, where they are known. */
  readonly gates?: readonly string[];
  /** Ids of procedures in the folder that cannot be read. What another one lacks may be in there, so no message says that it is missing. */
  readonly unreadable?: readonly string[];
}

/**
 * The checks that need all procedures of a folder: what comes after what, who covers what another must reach, what is left loose and never
 * closed, gates. Each procedure has been checked by itself before.
 */
export const checkFolder = (given: readonly Member[], options: FolderOptions = {}): Message[] => {
  // Sorted, so that messages name the same procedure whatever the order in which the disk lists them.
  const members = given.toSorted((a, b) => Number(a.file > b.file) - Number(a.file < b.file));
  const folder: Folder = {
    members,
    byId: new Map(members.map((member) => [member.procedure.procedure, member])),
    unreadable: new Set(options.unreadable),
    order: orderOf(members.map(({ procedure }) => procedure)),
    sets: indexOf(members, ({ sets }) => sets),
    proves: indexOf(members, ({ proves }) => proves),
    relies: indexOf(members, ({ reliesOn }) => reliesOn),
    leaves: indexOf(members, ({ loose }) => loose.map(({ item }) => item)),
    closes: indexOf(members, ({ closes }) => closes),
    passes: indexOf(members, ({ gate }) => (gate === undefined ? [] : [gate])),
    messages: [],
    ...(options.gates === undefined ? {} : { gates: options.gates }),
  };
  checkSequence(folder);
  checkCoversAcross(folder);
  checkGatePairs(folder);
  for (const member of members)
    for (const check of [checkReliancesAcross, checkProofsAcross, checkLooseAcross, checkCloses, checkGates])
      check(folder, member);
  return sortMessages(folder.messages);
};
