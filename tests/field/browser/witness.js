async ([base, name, given]) => {
  const [bytes, merkle, notes] = await Promise.all(["bytes", "merkle", "note"].map((file) => import(`${base}witness/${file}.js`)));
  const { fromBase64: b, fromHex: h } = bytes;

  /** The code of the refusal; null where it was none. */
  async function refuses(work) {
    try {
      await work();
      return null;
    } catch (error) {
      if (error.name !== "WitnessError") throw error;
      return error.code;
    }
  }

  const inclusion = (read, one) => refuses(() => merkle.checkInclusion(read(one.leaf), one.index, one.size, one.proof.map(read), read(one.root)));
  const consistency = (read, one) => refuses(() => merkle.checkConsistency(one.old, one.new, read(one.old_root), read(one.new_root), one.proof.map(read)));

  const checks = {
    /** Cases that are not judged as they should be. */
    async judged({ unit, ...cases }) {
      const read = unit === "hex" ? h : b;
      const wrong = [];
      for (const one of cases.inclusion) if (one.accept !== ((await inclusion(read, one)) === null)) wrong.push(one);
      for (const one of cases.consistency) if (one.accept !== ((await consistency(read, one)) === null)) wrong.push(one);
      return wrong;
    },

    leaves: (texts) => Promise.all(texts.map(async (text) => bytes.hex(await merkle.leafHash(h(text))))),

    async published({ signed_note, checkpoint, cases, ann }) {
      const key = await notes.parseKey(signed_note.verifier_key);
      const note = notes.parseNote(signed_note.note);
      const two = notes.parseNote(checkpoint.note);
      const { origin, size, root } = await notes.parseCheckpoint(two.text);
      let message;
      const sign = (given) => {
        message = bytes.textOf(given);
        return new Uint8Array(64);
      };
      await notes.cosign(two, ann, sign, checkpoint.cosignature_time);
      return {
        id: bytes.hex(key.id),
        again: await notes.formatKey(key.name, key.public, key.kind),
        isSigned: await notes.isSignedBy(key.public, bytes.utf8(note.text), note.signatures[0].signature),
        checkpoint: [origin, size, bytes.base64(root)],
        ids: two.signatures.map((one) => bytes.hex(one.id)),
        message,
        signatures: await Promise.all(
          cases.map((one) => Promise.all([one.message, `${one.message}00`].map((text) => notes.isSignedBy(h(one.public), h(text), h(one.signature))))),
        ),
      };
    },

    async checkpoints(cases) {
      const found = {};
      for (const [name, [note, key]] of Object.entries(cases)) found[name] = await refuses(async () => notes.checkCheckpoint(notes.parseNote(note), key));
      return found;
    },

    async cosignature({ note, name }) {
      const pair = await crypto.subtle.generateKey("Ed25519", false, ["sign", "verify"]);
      const raw = new Uint8Array(await crypto.subtle.exportKey("raw", pair.publicKey));
      const sign = async (message) => new Uint8Array(await crypto.subtle.sign("Ed25519", pair.privateKey, message));
      const key = await notes.formatKey(name, raw, notes.COSIGNATURE);
      return { key, line: await notes.cosign(notes.parseNote(note), key, sign, 1790000000) };
    },

    /** For each case what `checkHeads` says: null, or the code of its refusal. */
    async heads({ line, cases }) {
      const { checkHeads } = await import(`${base}witness/watching.js`);
      const found = {};
      for (const [name, [chains, shown]] of Object.entries(cases)) found[name] = await refuses(() => checkHeads({ line, chains }, shown));
      return found;
    },

    /** What a phone knows of each season that it makes a key for: lengths by chain. */
    async seasons(origins) {
      const { make, keep } = await import(`${base}witness/keys.js`);
      const known = [];
      for (const origin of origins) {
        const record = await make("off-1", origin, "g1");
        known.push(Object.keys(record.chains));
        await keep({ ...record, chains: { ...record.chains, [origin]: { size: 1 } } });
      }
      return known;
    },

    /** The same for `checkEvent`: `pending` is what the phone signed, each case an event in the ledger. */
    async events({ pending, heads, cases }) {
      const { checkEvent } = await import(`${base}witness/watching.js`);
      const shown = (event) => ({ seq: 7, heads, event_bytes: bytes.base64(bytes.utf8(JSON.stringify(event))) });
      const found = {};
      for (const [name, event] of Object.entries(cases)) found[name] = await refuses(async () => checkEvent(pending, shown(event)));
      return found;
    },

    async strict({ base64, hex, fine }) {
      const odd = [...base64.map((one) => () => b(one)), ...hex.map((one) => () => h(one))];
      return [await Promise.all(odd.map(refuses)), fine.map((one) => bytes.base64(b(one)))];
    },
  };
  return checks[name](given);
}
