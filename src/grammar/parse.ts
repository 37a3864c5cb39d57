import { type Expansion, GrammarError, type GrammarFile, type Rule } from './ast.ts';

interface Token {
  readonly text: string;
  readonly is: 'word' | 'rule' | 'tag' | 'weight' | 'sign' | 'end';
  readonly at: number;
}

const tokenPattern =
  /\/\/[^\n]*|\/\*[\s\S]*?\*\/|\s+|(?<rule><[\w.*-]+>)|(?<tag>\{[^{}]*\})|(?<weight>\/\d+(?:\.\d+)?\/)|(?<sign>[=|;()[\]*+])|(?<word>[\w'.-]+)/gy;

/**
 * Reads one JSGF file.
 *
 * @param text the file, beginning with `#JSGF V1.0;`
 * @param source its name, for messages
 * @throws GrammarError naming line and column
 */
export function parse(text: string, source: string): GrammarFile {
  const header = /^#JSGF V1\.0[^;]*;/.exec(text);
  if (header === null) {
    throw new GrammarError('a grammar begins with "#JSGF V1.0;"', source, text, 0);
  }
  const tokens = tokenize(text, source, header[0].length);
  let position = 0;
  const fault = (message: string, at: number): never => {
    throw new GrammarError(message, source, text, at);
  };
  const peek = (): Token => tokens[position] ?? fault('ends too early', text.length);
  const take = (): Token => {
    const token = peek();
    position += 1;
    return token;
  };
  const expect = (sign: string): Token => {
    const token = take();
    return token.text === sign
      ? token
      : fault(`expected "${sign}", found "${token.text}"`, token.at);
  };

  if (take().text !== 'grammar') fault('expected "grammar NAME;"', header[0].length);
  const name = take().text;
  expect(';');
  const imports: { name: string; at: number }[] = [];
  const rules: Rule[] = [];
  while (peek().is !== 'end') {
    if (peek().text === 'import') {
      take();
      const imported = take();
      imports.push({ name: imported.text.slice(1, -1), at: imported.at });
      expect(';');
      continue;
    }
    const isPublic = peek().text === 'public';
    if (isPublic) take();
    const head = take();
    if (head.is !== 'rule') fault(`expected a rule such as <side>, found "${head.text}"`, head.at);
    expect('=');
    const body = choice();
    expect(';');
    const ruleName = `${name}.${head.text.slice(1, -1)}`;
    if (rules.some((rule) => rule.name === ruleName)) {
      fault(`<${ruleName}> is defined twice`, head.at);
    }
    rules.push({ name: ruleName, isPublic, body, at: head.at, source });
  }
  return { name, imports, rules };

  function choice(): Expansion {
    const weights = [weight()];
    const options = [sequence()];
    while (peek().text === '|') {
      take();
      weights.push(weight());
      options.push(sequence());
    }
    return options.length === 1 && options[0] !== undefined
      ? options[0]
      : { is: 'choice', options, weights };
  }

  function weight(): number {
    if (peek().is !== 'weight') return 1;
    const { text: written, at } = take();
    const value = Number(written.slice(1, -1));
    return value > 0 ? value : fault('a weight is more than nothing', at);
  }

  function sequence(): Expansion {
    const parts: Expansion[] = [];
    for (;;) {
      const { is, text: sign, at } = peek();
      if (is === 'end' || (is === 'sign' && '|;)]'.includes(sign))) break;
      if (is === 'sign' && '*+='.includes(sign)) fault(`"${sign}" has nothing before it`, at);
      parts.push(item());
    }
    if (parts.length === 0)
      fault('nothing stands here; use [ ] for what may be left out', peek().at);
    return parts.length === 1 && parts[0] !== undefined ? parts[0] : { is: 'sequence', parts };
  }

  function item(): Expansion {
    const token = take();
    if (token.is === 'weight') fault('a weight stands before an alternative', token.at);
    let part: Expansion;
    if (token.text === '(') {
      part = choice();
      expect(')');
    } else if (token.text === '[') {
      part = { is: 'optional', part: choice() };
      expect(']');
    } else if (token.is === 'rule') {
      part = { is: 'rule', name: token.text.slice(1, -1), at: token.at };
    } else if (token.is === 'tag') {
      part = { is: 'tag', text: token.text.slice(1, -1).trim(), at: token.at };
    } else {
      part = { is: 'word', word: token.text, at: token.at };
    }
    while (peek().text === '*' || peek().text === '+') {
      part = { is: 'repeat', part, least: take().text === '*' ? 0 : 1 };
    }
    return part;
  }
}

function tokenize(text: string, source: string, from: number): readonly Token[] {
  const tokens: Token[] = [];
  tokenPattern.lastIndex = from;
  while (tokenPattern.lastIndex < text.length) {
    const at = tokenPattern.lastIndex;
    const found = tokenPattern.exec(text);
    if (found === null) {
      throw new GrammarError(`cannot read "${text[at]}"`, source, text, at);
    }
    const groups = found.groups ?? {};
    for (const is of ['rule', 'tag', 'weight', 'sign', 'word'] as const) {
      if (groups[is] !== undefined) tokens.push({ text: found[0], is, at });
    }
  }
  tokens.push({ text: 'the end of the file', is: 'end', at: text.length });
  return tokens;
}
