// A FHIR R4 server from the registry, in a process of its own: `@asymmetrik/node-fhir-server-core`, which
// which has the addresses, the token and classes of its own for every resource of R4; what they do not know
// is not kept. It wants a store behind it; here that is the memory. Started with a port, it writes a line
// once it listens.
const { initialize, resolveSchema, ServerError } = require('@asymmetrik/node-fhir-server-core');

/** Who comes in, as the server asks for it: by the path of a file that says so. */
exports.strategy = {
  name: 'bearer',
  authenticate({ headers }) {
    if (headers.authorization === 'Bearer secret') this.success({ name: 'Trainee Invented' });
    else this.fail('Bearer realm="plessor"', 401);
  },
};

const kept = new Map();
const service = {
  async create({ base_version }, { req }) {
    const asKnown = (resource) => {
      const Resource = resolveSchema(base_version, resource.resourceType.toLowerCase());
      return new Resource(resource).toJSON();
    };
    const entry = req.body.entry.map((one) => ({ ...one, resource: asKnown(one.resource) }));
    const id = String(kept.size + 1);
    kept.set(id, { ...asKnown({ ...req.body, entry }), id });
    return { id };
  },
  async searchById({ id }) {
    const found = kept.get(id);
    if (found !== undefined) return found;
    throw new ServerError('there is no such Bundle', {
      statusCode: 404,
      issue: [{ severity: 'error', code: 'not-found' }],
    });
  },
};

if (require.main === module) {
  initialize({
    profiles: { bundle: { service, versions: ['4_0_0'] } },
    auth: { strategy: { name: 'bearer', service: __filename } },
    logging: { level: 'emerg' },
  }).listen(Number(process.argv[2]), '127.0.0.1', () => process.stdout.write('listening\n'));
}
