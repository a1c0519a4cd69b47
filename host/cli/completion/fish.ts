/** Completion for fish, with the descriptions of the help. */
import type { CommandModel, OptionModel, Value } from './model.ts';

export function fishCompletion(name: string, commands: readonly CommandModel[]): string {
  const lines = commands.flatMap((command) => {
    const within = `complete -c ${name} -n '__fish_seen_subcommand_from ${command.name}'`;
    const [first] = command.args;
    return [
      `complete -c ${name} -n __fish_use_subcommand -a ${command.name} -d ${quoted(command.description)}`,
      ...(first === undefined || first === 'any' ? [] : [`${within} ${offered(first)}`]),
      ...command.options.map((option) => `${within} -l ${option.flag.slice(2)}${taking(option)} -d ${quoted(option.description)}`),
    ];
  });
  return `# fish completion for ${name}: put it as ${name}.fish into ~/.config/fish/completions.
function __${name}_sessions
    set -l data postern-data
    set -l words (commandline -opc)
    set -l at (contains -i -- --data $words); and set data $words[(math $at + 1)]
    path basename $data/journals/*.mcap | string replace -r '\\.mcap$' ''
end
complete -c ${name} -f
${lines.join('\n')}
`;

  function taking({ value, isValueOptional }: OptionModel): string {
    if (value === undefined) return '';
    if (isValueOptional) return '';
    return value === 'any' ? ' -x' : ` -r ${offered(value)}`;
  }

  function offered(value: Value): string {
    if (typeof value !== 'string') return `-f -a '${value.join(' ')}'`;
    if (value === 'file') return '-F';
    if (value === 'folder') return "-f -a '(__fish_complete_directories)'";
    return value === 'session' ? `-f -a '(__${name}_sessions)'` : '-f';
  }
}

const quoted = (text: string): string => `'${text.replaceAll('\\', '\\\\').replaceAll("'", "\\'")}'`;
