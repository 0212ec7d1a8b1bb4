import type { ToolLine } from '../aircraft/file.ts';
import type { BuildState } from '../aircraft/state.ts';
import { instantText } from '../report/people.ts';
import { failed, wordsGiven } from './fail.ts';
import { withState } from './open.ts';
import type { CommandSpec } from './spec.ts';
import { own } from '../fault/own.ts';

interface Listed extends ToolLine {
  readonly found: BuildState['found'][string];
}

const lineOf = (tool: Listed): string => {
  const facts = [
    tool['in-date-until'] && `in date until ${tool['in-date-until']}`,
    tool.uncertainty && `uncertainty ${tool.uncertainty}`,
    tool.resolution && `resolution ${tool.resolution}`,
    tool.calibration && `calibration ${tool.calibration}`,
    ...tool.found.slice(-1).map(({ what, when }) => `found ${what} ${instantText(when)}`),
  ].filter((fact) => fact !== undefined && fact !== '');
  return `${tool.tool}  ${tool.title ?? tool.kind}${facts.length > 0 ? `; ${facts.join('; ')}` : ''}`;
};

export const toolCommand: CommandSpec = {
  name: 'tool',
  about: 'the individual tools, and what was found of them',
  usage: ['dryfit tool'],
  options: {},
  more: [
    'They stand in build.yaml (tools). What became of one: dryfit do - tool TOOL found=dropped|wrong|checked.',
    'What was taken with one: dryfit trace TOOL.',
  ],
  run: (call) =>
    withState(call, 'read', ({ workshop }) => {
      const extra = wordsGiven(call, 'tool', 'write: dryfit tool, or dryfit trace TOOL');
      if (extra) return failed(call, extra);
      const state = workshop.state();
      const tools = state.file.tools.map((line) => ({ ...line, found: own(state.found, line.tool) ?? [] }));
      if (call.flag('json'))
        call.print.json({
          tools: tools.map((line) => ({ ...line, found: line.found.map(({ what, when }) => ({ what, when })) })),
        });
      else call.print.lines(...(tools.length === 0 ? ['no tool is listed: build.yaml (tools)'] : tools.map(lineOf)));
      return 0;
    }),
};
