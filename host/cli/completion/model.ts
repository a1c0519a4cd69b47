/** What can stand where in a command, read off the command tree itself, so that no second list of it is kept. */
import type { Argument, Command, Option } from 'commander';

/** What a value is, as far as a shell can help: a file, a folder, a session that has a journal, one of some words, or anything. */
export type Value = 'file' | 'folder' | 'session' | 'any' | readonly string[];

export interface OptionModel {
  /** Such as `--data`. */
  readonly flag: string;
  readonly description: string;
  /** Undefined: it takes no value. */
  readonly value: Value | undefined;
  readonly isValueOptional: boolean;
}

export interface CommandModel {
  readonly name: string;
  readonly description: string;
  readonly options: readonly OptionModel[];
  readonly args: readonly Value[];
}

/** By the name that the help gives a value. */
const FILES: ReadonlySet<string> = new Set(['file', 'rig', 'journal', 'journals', 'track']);
const FOLDERS: ReadonlySet<string> = new Set(['dir']);
const SESSIONS: ReadonlySet<string> = new Set(['session']);

export function modelOf(program: Command): readonly CommandModel[] {
  return program.commands.map((command) => ({
    name: command.name(),
    description: command.description(),
    options: [...command.options.filter(({ hidden }) => !hidden).map(optionOf), HELP],
    args: command.registeredArguments.map(argumentOf),
  }));
}

const HELP: OptionModel = { flag: '--help', description: 'display help for command', value: undefined, isValueOptional: false };

function optionOf(option: Option): OptionModel {
  const [, name = ''] = /[<[]([\w-]+)/.exec(option.flags) ?? [];
  const takes = option.required || option.optional;
  const isSession = option.long === '--session';
  const value = option.argChoices ?? (isSession ? 'session' : valueNamed(name));
  return {
    flag: option.long ?? option.flags,
    description: option.description,
    value: takes ? value : undefined,
    isValueOptional: option.optional && !option.required,
  };
}

const argumentOf = (argument: Argument): Value => argument.argChoices ?? valueNamed(argument.name());

function valueNamed(name: string): Value {
  if (FILES.has(name)) return 'file';
  if (FOLDERS.has(name)) return 'folder';
  return SESSIONS.has(name) ? 'session' : 'any';
}
