import type { MessageCode } from '../../src/procedure/codes.ts';

/** A broken file for a code and the same file mended. The line that must have the message begins with `>`. */
export interface Example {
  readonly code: MessageCode;
  readonly bad: string;
  readonly good: string;
  readonly level?: 'warning';
}

export const head = 'procedure: demo\ntitle: Demo\nrevision: A\n';

/** A head and steps `a`, `b` … each with these lines. */
export const steps = (...bodies: readonly string[]): string =>
  `${head}steps:\n${bodies
    .map((body, index) => {
      const id = String.fromCodePoint(97 + index);
      const lines =
        body === ''
          ? []
          : body.split('\n').map((line) => (line.startsWith('>') ? `>    ${line.slice(1)}` : `    ${line}`));
      return [`  - step: ${id}`, `    title: Step ${id}`, ...lines].join('\n');
    })
    .join('\n')}\n`;

export const reading = (rest: string): string => `readings:\n  - { reading: gap, ${rest}, source: manual }`;
export const told = (rest: string): string => `readings:\n>  - { reading: gap, ${rest}, source: manual }`;
export const inHead = (line: string): string => `${head}${line}\nsteps: [{ step: a, title: A }]\n`;

export const gatherGlue = 'gather: { materials: [{ material: glue }] }\n';
export const mixed = (rest: string): string =>
  `mix: { material: glue, ratio: { resin: 100, hardener: 44 }, tolerance: 2 %, ${rest}, source: sheet }`;
export const glued = (...bodies: readonly string[]): string =>
  steps(...bodies).replace('steps:\n', `${gatherGlue}steps:\n`);
export const mix = mixed('pot-life: 35 min at 20 °C');
export const cured = (stages: string, rest = ''): string => `cure: { of: a, stages: ${stages}${rest}, source: sheet }`;
