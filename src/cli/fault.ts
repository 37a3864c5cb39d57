/** Bad input from outside: told in one line that says what is wrong and what to do; exit 2. */
export class Fault extends Error {
  constructor(message: string) {
    super(message.replaceAll(/\s*\n\s*/g, ' '));
    this.name = 'Fault';
  }
}
