import { readdirSync, readFileSync } from 'node:fs';
import { parseSync } from 'vite';
import { describe, expect, test } from 'vitest';

const root = new URL('../../src/', import.meta.url);

/** A node of a syntax tree (ESTree). */
interface Node {
  readonly type: string;
  readonly [field: string]: unknown;
}
const isNode = (value: unknown): value is Node =>
  typeof value === 'object' && value !== null && 'type' in value && typeof value.type === 'string';

const nameOf = (node: unknown): string =>
  isNode(node) && node.type === 'Identifier' ? String(node.name) : '';

const memberOf = (node: unknown): string =>
  isNode(node) && node.type === 'MemberExpression' ? nameOf(node.property) : '';

/** Errors of the program itself: nobody sees them but who writes it. */
const ofTheProgram = /^(Error|RangeError|TypeError|SyntaxError)$/;
/** What makes a line that is shown of what is written in it. */
const shown = /^(PortError|fail|fault)$/;
/** What shows the very line that it is given. */
const shows = /^(notice|tell|told|answer|refuse)$/;
const isText =
  /^(Literal|TemplateLiteral|ConditionalExpression|LogicalExpression|BinaryExpression)$/;

/** A sentence, or the most of one: three words in a row, a value that is put in among them. */
const sentence = /\p{Ll}{2}[,;:]? \p{Ll}{2,}[,;:]? \p{Ll}{2}/u;

/** Texts that are written out in a program: sentences, and every word in the line of a fault. */
function literals(source: string, name = 'source.ts'): readonly string[] {
  const found: string[] = [];
  const take = (text: string, inLine: boolean): void => {
    if ((inLine ? /\p{L}{2}/u : sentence).test(text)) found.push(text);
  };
  const visit = (node: Node, inLine: boolean): void => {
    switch (node.type) {
      case 'ImportDeclaration':
      case 'ImportExpression':
      case 'ExportAllDeclaration':
      case 'TSLiteralType':
      case 'TSTemplateLiteralType':
        return;
      case 'Literal':
        if (typeof node.value === 'string') take(node.value, inLine);
        return;
      case 'JSXText':
        take(String(node.value), true);
        return;
      case 'TemplateLiteral': {
        const pieces = (node.quasis as readonly Node[]).map(
          ({ value }) => (value as { readonly cooked: string }).cooked,
        );
        take(pieces.join(inLine ? '' : 'value'), inLine);
        for (const one of node.expressions as readonly Node[]) visit(one, inLine);
        return;
      }
      case 'NewExpression':
      case 'CallExpression': {
        const callee = nameOf(node.callee);
        if (ofTheProgram.test(callee)) return;
        const [first, ...rest] = node.arguments as readonly Node[];
        if (isNode(node.callee)) visit(node.callee, inLine);
        // The first tells what kind it is, or where.
        const isLine =
          shows.test(callee || memberOf(node.callee)) && isText.test(first?.type ?? '');
        if (first !== undefined) visit(first, isLine || (inLine && !shown.test(callee)));
        for (const one of rest) visit(one, inLine || shown.test(callee));
        return;
      }
      default:
        for (const value of Object.values(node)) {
          for (const one of Array.isArray(value) ? value : [value]) {
            if (isNode(one)) visit(one, inLine);
          }
        }
    }
  };
  visit(parseSync(name, source).program as unknown as Node, false);
  return found;
}

describe('a literal is found', () => {
  test.each([
    ["throw new PortError('denied', 'refused');", 'refused'],
    [`throw new PortError('denied', \`refused: \${why}\`);`, 'refused: '],
    [`list.push(\`cannot read \${file}\`);`, 'cannot read value'],
    [
      "const corrupt = (why) => new PortError('corrupt', why); corrupt('the file is empty');",
      'the file is empty',
    ],
    ["fail('path.kind', text.kind ?? 'missing');", 'missing'],
    ["notice.value = 'The disk is full.';", 'The disk is full.'],
    ["parts.notice('Gone');", 'Gone'],
  ])('%s', (source, text) => {
    expect(literals(source)).toEqual([text]);
  });
  test.each([
    "import { a } from './the file.ts';",
    "throw new PortError('denied', text.refused);",
    "throw new RangeError('no such row');",
    "tell({ is: 'ready' });",
    "const mode: 'not tested' = give('grammar.open');",
  ])('and this is none: %s', (source) => {
    expect(literals(source)).toEqual([]);
  });
});

/** What is not shown, or is of no language. */
const apart: ReadonlySet<string> = new Set([
  'app/models/schema.ts', // told to who writes the manifest, in the terms of its schema
  'report/code.ts', // displays of public code systems, as they are published
  'report/style.ts', // a style sheet
]);
const programs = readdirSync(root, { recursive: true, encoding: 'utf8' })
  // The words of the page itself are looked at in the page (tests/browser/catalogue.test.ts).
  .filter((name) => /^(exam|report|audio|engines|voice|store|app|cli)\/.*\.tsx?$/.test(name))
  .filter((name) => !/messages|english|training/i.test(name) && !apart.has(name))
  .toSorted();

test.each(programs)('no words but a catalogue’s: %s', (name) => {
  expect(literals(readFileSync(new URL(name, root), 'utf8'), name)).toEqual([]);
});
