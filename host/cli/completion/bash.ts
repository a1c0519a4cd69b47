/** Completion for bash, 3.2 and later. */
import type { CommandModel, Value } from './model.ts';

export function bashCompletion(name: string, commands: readonly CommandModel[]): string {
  const values = commands.flatMap(({ name: command, options }) =>
    options.flatMap(({ flag, value, isValueOptional }) => {
      if (value === undefined) return [];
      // Where a value may be left out, another option may stand there.
      const unless = isValueOptional ? '[[ $cur == -* ]] || ' : '';
      return [`    ${command}/${flag}) ${unless}{ ${offer(name, value)}; return; } ;;`];
    }),
  );
  const flags = commands.map(
    ({ name: command, options }) => `      ${command}) _${name}_words '${options.map(({ flag }) => flag).join(' ')}' ;;`,
  );
  const args = commands.flatMap(({ name: command, args: [first] }) =>
    first === undefined ? [] : [`    ${command}) ${offer(name, first)} ;;`],
  );
  return `# bash completion for ${name}: source it, or put it where bash looks for completions.
_${name}() {
  local cur=\${COMP_WORDS[COMP_CWORD]} prev=\${COMP_WORDS[COMP_CWORD-1]} command=\${COMP_WORDS[1]} IFS=$'\\n'
  _${name}_words() { local IFS=$' \\n'; COMPREPLY=($(compgen -W "$1" -- "$cur")); }
  _${name}_files() { compopt -o filenames 2>/dev/null; COMPREPLY=($(compgen "$1" -- "$cur")); }
  _${name}_sessions() {
    local i data=postern-data
    for ((i = 2; i < COMP_CWORD - 1; i++)); do [[ \${COMP_WORDS[i]} == --data ]] && data=\${COMP_WORDS[i+1]}; done
    COMPREPLY=($(compgen -W "$(command ls "$data/journals" 2>/dev/null | sed -n 's/\\.mcap$//p')" -- "$cur"))
  }
  COMPREPLY=()
  if ((COMP_CWORD == 1)); then _${name}_words '${commands.map(({ name: command }) => command).join(' ')} --help --version'; return; fi
  case $command/$prev in
${values.join('\n')}
  esac
  if [[ $cur == -* ]]; then
    case $command in
${flags.join('\n')}
    esac
    return
  fi
  case $command in
${args.join('\n')}
  esac
}
complete -F _${name} ${name}
`;
}

function offer(name: string, value: Value): string {
  if (typeof value !== 'string') return `_${name}_words '${value.join(' ')}'`;
  return { file: `_${name}_files -f`, folder: `_${name}_files -d`, session: `_${name}_sessions`, any: ':' }[value];
}
