import type { Expansion, GrammarFile } from './ast.ts';

/** JSGF text that reads back as the same file: `parse(print(file))` differs in offsets only. */
export function print(file: GrammarFile): string {
  const lines = ['#JSGF V1.0;', `grammar ${file.name};`];
  for (const { name } of file.imports) lines.push(`import <${name}>;`);
  for (const rule of file.rules) {
    const name = rule.name.slice(file.name.length + 1);
    lines.push(`${rule.isPublic ? 'public ' : ''}<${name}> = ${printExpansion(rule.body)};`);
  }
  return `${lines.join('\n')}\n`;
}

export function printExpansion(e: Expansion): string {
  switch (e.is) {
    case 'word':
      return e.word;
    case 'rule':
      return `<${e.name}>`;
    case 'tag':
      return `{${e.text}}`;
    case 'sequence':
      return e.parts
        .map((p) => (p.is === 'choice' || p.is === 'sequence' ? grouped(p) : printExpansion(p)))
        .join(' ');
    case 'choice':
      return e.options
        .map((o, i) => {
          const weight = e.weights[i] ?? 1;
          const text = o.is === 'choice' ? grouped(o) : printExpansion(o);
          return weight === 1 ? text : `/${weight}/ ${text}`;
        })
        .join(' | ');
    case 'optional':
      return `[${printExpansion(e.part)}]`;
    case 'repeat': {
      const inner =
        e.part.is === 'sequence' || e.part.is === 'choice'
          ? grouped(e.part)
          : printExpansion(e.part);
      return `${inner}${e.least === 0 ? '*' : '+'}`;
    }
    default:
      return e satisfies never;
  }
}

const grouped = (e: Expansion): string => `(${printExpansion(e)})`;
