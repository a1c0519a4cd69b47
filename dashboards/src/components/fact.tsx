import type { ComponentChildren } from 'preact';

/** One row of a list of facts. It stays where it is while there is nothing to say: a dash, so that nothing jumps. */
export function Fact({ name, children }: { readonly name: string; readonly children?: ComponentChildren }) {
  const isEmpty = children === undefined || children === null || children === false || children === '';
  return (
    <div>
      <dt>{name}</dt>
      <dd class="figures">{isEmpty ? '–' : children}</dd>
    </div>
  );
}
