/** A tree of TypeScript as JavaScript, file by file; types are checked by `npm run lint`. */
import { mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { basename, dirname, join } from 'node:path';
import ts from 'typescript';

const OPTIONS: ts.CompilerOptions = {
  target: ts.ScriptTarget.ES2023,
  module: ts.ModuleKind.ESNext,
  verbatimModuleSyntax: true,
  rewriteRelativeImportExtensions: true,
  sourceMap: true,
  inlineSources: true,
};

/**
 * @param from  the folder of the project
 * @param trees  folders in it
 * @param into  where each file stands at the same place, with its map beside it
 * @param isWanted  by a file's path from the project's folder
 * @throws Error naming the file that is no TypeScript
 */
export function transpile(from: string, trees: readonly string[], into: string, isWanted: (file: string) => boolean): void {
  const files = trees.flatMap((tree) =>
    readdirSync(join(from, tree), { recursive: true, encoding: 'utf8' }).map((name) => join(tree, name)),
  );
  for (const file of files.filter((each) => /(?<!\.d)\.ts$/.test(each) && isWanted(each))) {
    const source = readFileSync(join(from, file), 'utf8');
    const {
      outputText,
      sourceMapText,
      diagnostics = [],
    } = ts.transpileModule(source, {
      fileName: basename(file),
      compilerOptions: OPTIONS,
      reportDiagnostics: true,
    });
    const [wrong] = diagnostics;
    if (wrong) throw new Error(`${file}: ${ts.flattenDiagnosticMessageText(wrong.messageText, ' ')}`);
    const made = join(into, file.replace(/\.ts$/, '.js'));
    mkdirSync(dirname(made), { recursive: true });
    writeFileSync(made, outputText);
    writeFileSync(`${made}.map`, sourceMapText ?? '');
  }
}
