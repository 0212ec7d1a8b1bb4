import { hostileGitFolders } from '../hostile/git-folders.ts';
import { insiders } from '../hostile/insider.ts';
import { readerBombs } from '../hostile/reader-bombs.ts';
import { yamlBombs } from '../hostile/yaml-bombs.ts';
import { bits } from './bits.ts';
import type { Campaign } from './campaign.ts';
import { kills, killsInALine, killsInARow, powerCuts } from './cuts.ts';
import { cacheFails, failing, full, readOnly, unsure } from './failing.ts';
import { lines } from './lines.ts';
import { moved } from './moved.ts';
import { processKills } from './processes.ts';
import { beginnings, halfCopied, inTheGap } from './shared.ts';
import { turnedReadOnly } from './turned-read-only.ts';
import { walks } from './walks.ts';
import { writers } from './writers.ts';

/** All campaigns, by name. @param root the project's folder, with the built program in it. */
export const campaignsIn = (root: string): Readonly<Record<string, Campaign>> => ({
  kills,
  killsInALine,
  killsInARow,
  powerCuts,
  full,
  failing,
  cacheFails,
  unsure,
  readOnly,
  turnedReadOnly,
  bits,
  lines,
  writers,
  inTheGap,
  halfCopied,
  beginnings,
  walks: walks(root),
  moved,
  processKills: processKills(root),
  yamlBombs: yamlBombs(root),
  readerBombs: readerBombs(root),
  hostileGitFolders: hostileGitFolders(root),
  insiders,
});
