import { accessSync, constants } from 'node:fs';
import { delimiter, join } from 'node:path';

/** The programs against which dryfit is tested, each with the Debian package that has it. */
const packages = {
  'ssh-keygen': 'openssh-client',
  'ssh-agent': 'openssh-client',
  'ssh-add': 'openssh-client',
  openssl: 'openssl',
  git: 'git',
  bash: 'bash',
} as const;

const isOnPath = (program: string, path: string): boolean =>
  path.split(delimiter).some((folder) => {
    try {
      accessSync(join(folder, program), constants.X_OK);
      return true;
    } catch {
      return false;
    }
  });

/** One line that names the missing programs and what to install; undefined where nothing is missing. */
export const missingPrograms = (path: string): string | undefined => {
  const missing = Object.entries(packages).filter(([program]) => !isOnPath(program, path));
  if (missing.length === 0) return undefined;
  const wanted = [...new Set(missing.map(([, name]) => name))];
  return `The tests need ${missing.map(([program]) => program).join(', ')}: install ${wanted.join(', ')}.`;
};

/** Runs before all tests: without one of these programs, many tests would fail in obscure ways. */
export default (): void => {
  const missing = missingPrograms(process.env['PATH'] ?? '');
  if (missing === undefined) return;
  process.stderr.write(`${missing}\n`);
  process.exit(1);
};
