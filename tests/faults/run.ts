import { spawn } from 'node:child_process';
import { availableParallelism } from 'node:os';
import { fileURLToPath } from 'node:url';
import { askOnce } from './asked-once.ts';
import type { Told } from './campaign.ts';
import { campaignsIn } from './campaigns.ts';
import { isWalker, walkHere } from './walks.ts';

/**
 * Tries every kind of harm in full, and prints the number of cases, what must hold in each, and where it does not. Exits 1 where something
 * is broken. Names choose campaigns; a number N tries one case in N. Each campaign is a process of its own, one a core at a time.
 */
const [root = process.cwd(), ...words] = process.argv.slice(2);
const campaigns = campaignsIn(root);
const named = words.filter((word) => word in campaigns);
const every = Number(words.find((word) => /^[1-9]\d*$/.test(word)) ?? 1);

const print = ({ what, law, count, broken }: Told, seconds: number): void => {
  const holds = broken.length === 0 ? 'holds' : `BROKEN ${broken.length} times`;
  process.stdout.write(`${String(count).padStart(7)}  ${what} (${seconds.toFixed(0)} s)\n         ${law}: ${holds}\n`);
  for (const one of broken.slice(0, 20)) process.stdout.write(`         ${one}\n`);
};

/** In this process. */
const run = async (name: string): Promise<boolean> => {
  const campaign = campaigns[name];
  if (campaign === undefined) return true;
  askOnce();
  const begun = performance.now();
  const told = await campaign({ every, many: 5000, processes: 300 });
  print(told, (performance.now() - begun) / 1000);
  return told.broken.length === 0;
};

/** In a process of its own, which prints its result in one piece. */
const runApart = (name: string): Promise<boolean> =>
  new Promise((resolve) => {
    const argv = [fileURLToPath(import.meta.url), root, name, String(every)];
    const child = spawn(process.execPath, argv, { stdio: ['ignore', 'pipe', 'inherit'] });
    let said = '';
    child.stdout.setEncoding('utf8').on('data', (text: string) => (said += text));
    child.on('close', (code) => {
      process.stdout.write(said);
      resolve(code === 0);
    });
  });

/** The campaigns that take longest come first. */
const longest = ['walks', 'full', 'processKills', 'bits', 'killsInALine'];

const runAll = async (): Promise<boolean> => {
  const names = named.length > 0 ? named : Object.keys(campaigns);
  const waiting = [
    ...longest.filter((name) => names.includes(name)),
    ...names.filter((name) => !longest.includes(name)),
  ];
  let holds = true;
  const takeNext = async (): Promise<void> => {
    for (let name = waiting.shift(); name !== undefined; name = waiting.shift())
      holds = (await runApart(name)) && holds;
  };
  await Promise.all(Array.from({ length: availableParallelism() }, takeNext));
  return holds;
};

const [only, ...others] = named;
if (isWalker) {
  askOnce();
  walkHere();
} else process.exitCode = (await (only !== undefined && others.length === 0 ? run(only) : runAll())) ? 0 : 1;
