import type { ComponentChildren } from 'preact';

export interface FactProps {
  readonly name: string;
  /** Room that is kept, so that what stands below does not move as the words grow. Default: 1. */
  readonly lines?: 1 | 2;
  readonly children?: ComponentChildren;
}

/** One row of a list of facts. It stays where it is while there is nothing to say: a dash, so that nothing jumps. */
export function Fact({ name, lines = 1, children }: FactProps) {
  const isEmpty = children === undefined || children === null || children === false || children === '';
  return (
    <div class={lines === 2 ? 'two-lines' : ''}>
      <dt>{name}</dt>
      <dd class="figures">{isEmpty ? '–' : children}</dd>
    </div>
  );
}
