import { commands } from './names.ts';
import { everywhere, type CommandSpec, type OptionSpec } from './spec.ts';

const optionLines = (options: Readonly<Record<string, OptionSpec>>): readonly string[] => {
  const heads = Object.entries(options).map(
    ([name, { value, about }]) => [`--${name}${value === undefined ? '' : ` ${value}`}`, about] as const,
  );
  const width = Math.max(...heads.map(([head]) => head.length));
  return heads.map(([head, about]) => `  ${head.padEnd(width)}  ${about}`);
};

export const commandHelp = (command: CommandSpec): readonly string[] => [
  ...command.usage,
  '',
  `${command.about[0]?.toUpperCase() ?? ''}${command.about.slice(1)}.`,
  ...(command.more === undefined ? [] : ['', ...command.more]),
  ...(Object.keys(command.options).length === 0 ? [] : ['', 'Options:', ...optionLines(command.options)]),
  '',
  'Options everywhere:',
  ...optionLines(everywhere),
];

export const overview = (): readonly string[] => {
  const width = Math.max(...commands.map(({ name }) => name.length));
  return [
    'dryfit [JOB]               opens the bench (at that job)',
    'dryfit COMMAND …           one of these:',
    '',
    ...commands.map(({ name, about }) => `  ${name.padEnd(width)}  ${about}`),
    '',
    'Options everywhere:',
    ...optionLines(everywhere),
    '',
    'Exit: 0 fine; 1 something is wrong with what was looked at; 2 called wrongly; 3 refused by a rule.',
    'dryfit approves nothing: the manual, the designer and the inspector have the last word.',
  ];
};
