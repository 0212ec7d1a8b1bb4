import { askOnce } from './asked-once.ts';
import { campaignsIn } from './campaigns.ts';

/**
 * Every kind of harm, in full: how many cases, what must hold in each, and where it does not. Exit 1 where something is broken.
 * Names choose among the campaigns; a number lets every so many-th case be tried alone.
 */
askOnce();
const [root = process.cwd(), ...words] = process.argv.slice(2);
const campaigns = campaignsIn(root);
const names = words.filter((word) => word in campaigns);
const every = Number(words.find((word) => /^[1-9]\d*$/.test(word)) ?? 1);
let broken = 0;
for (const [name, campaign] of Object.entries(campaigns)) {
  if (names.length > 0 && !names.includes(name)) continue;
  const begun = performance.now();
  const told = await campaign({ every, many: 5000, processes: 300 });
  broken += told.broken.length;
  const seconds = ((performance.now() - begun) / 1000).toFixed(0);
  process.stdout.write(
    `${String(told.count).padStart(7)}  ${told.what} (${seconds} s)\n         ${told.law}: ${told.broken.length === 0 ? 'holds' : `BROKEN ${told.broken.length} times`}\n`,
  );
  for (const one of told.broken.slice(0, 20)) process.stdout.write(`         ${one}\n`);
}
process.exitCode = broken === 0 ? 0 : 1;
