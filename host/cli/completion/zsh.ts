/** Completion for zsh, with the descriptions of the help. */
import type { CommandModel, Value } from './model.ts';

export function zshCompletion(name: string, commands: readonly CommandModel[]): string {
  const list = commands.map((command) => `    ${quoted(`${command.name}:${command.description}`)}`);
  return `#compdef ${name}
# zsh completion for ${name}: put it as _${name} into a folder of $fpath.
_${name}_sessions() {
  local data=\${opt_args[--data]:-postern-data}
  compadd -- \${data}/journals/*.mcap(N:t:r)
}
_${name}() {
  local -a commands=(
${list.join('\n')}
  )
  typeset -A opt_args
  if ((CURRENT == 2)); then _describe command commands; return; fi
  local command=$words[2]
  shift words
  ((CURRENT--))
  case $command in
${commands.map(branch).join('\n')}
  esac
}
if [[ $funcstack[1] == _${name} ]]; then _${name} "$@"; else compdef _${name} ${name}; fi
`;

  function branch({ name: command, options, args }: CommandModel): string {
    const specs = [
      ...options.map(({ flag, description, value, isValueOptional }) => {
        const text = description.replace(/[[\]:\\]/g, '\\$&');
        return `*${flag}[${text}]${value === undefined ? '' : `${isValueOptional ? '::' : ':'}value:${action(value)}`}`;
      }),
      ...args.map((value, i) => `${i + 1}:argument:${action(value)}`),
    ];
    return `    ${command}) _arguments -S ${specs.map(quoted).join(' ')} ;;`;
  }

  function action(value: Value): string {
    if (typeof value !== 'string') return `(${value.join(' ')})`;
    return { file: '_files', folder: '_files -/', session: `_${name}_sessions`, any: ' ' }[value];
  }
}

const quoted = (text: string): string => `'${text.replaceAll("'", "'\\''")}'`;
