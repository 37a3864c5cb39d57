export { type Expansion, type Grammar, GrammarError, type GrammarFile, type Rule } from './ast.ts';
export { compile } from './compile.ts';
export { expand, type Sentence, sample } from './expand.ts';
export { type GrammarSource, link, nodes, ruleOf } from './link.ts';
export { match, type Placed, type Reading, reach } from './match.ts';
export { type Arc, type WordNetwork, wordsOf } from './network.ts';
export { parse } from './parse.ts';
export { print, printExpansion } from './print.ts';
export { assemble, type Mark, type Program } from './program.ts';
