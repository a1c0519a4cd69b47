import type { Command } from 'commander';
import { bashCompletion } from './bash.ts';
import { fishCompletion } from './fish.ts';
import { modelOf } from './model.ts';
import { zshCompletion } from './zsh.ts';

const SHELLS = { bash: bashCompletion, zsh: zshCompletion, fish: fishCompletion } as const;

export const SHELL_NAMES = Object.keys(SHELLS) as (keyof typeof SHELLS)[];

/** A script for that shell, of all commands that the program has by now. */
export const completionFor = (shell: keyof typeof SHELLS, program: Command): string => SHELLS[shell](program.name(), modelOf(program));
