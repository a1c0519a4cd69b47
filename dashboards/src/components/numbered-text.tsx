import type { Ref } from 'preact';

export interface NumberedTextProps {
  readonly text: string;
  readonly label: string;
  /** Numbers of lines to be marked, from 1. */
  readonly marked?: ReadonlySet<number>;
  readonly of?: Ref<HTMLPreElement>;
}

/** A file with its line numbers, which a copy leaves out. */
export function NumberedText({ text, label, marked, of }: NumberedTextProps) {
  const lines = text.replace(/\n$/, '').split('\n');
  return (
    // biome-ignore lint/a11y/noNoninteractiveTabindex: a scrolling region has to be reachable by keyboard
    <section class="numbered" tabIndex={0} aria-label={label}>
      <pre {...(of ? { ref: of } : {})}>
        {lines.map((line, index) => (
          <span key={index} class={marked?.has(index + 1) ? 'is-marked' : ''} id={marked?.has(index + 1) ? `line-${index + 1}` : undefined}>
            {`${line}\n`}
          </span>
        ))}
      </pre>
    </section>
  );
}
