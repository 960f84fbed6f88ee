/* What was kept on this phone and not yet deleted: rows of readings and finished operations, in the browser's own database. It outlives
   flight mode, a reload and another tab. What the database refuses is held in memory, and said to be. */
(function (root) {
  "use strict";
  const gudgeon = (root.gudgeon = root.gudgeon || {});

  class Queue {
    /* name: of the database; one per address, so that two sites on one host stay apart. changed: called when another tab wrote. */
    constructor(name, changed) {
      this.unkept = []; // what the database refused
      this.why = null;
      this.name = name;
      this.tabs = "BroadcastChannel" in root ? new BroadcastChannel(name) : null;
      if (this.tabs) this.tabs.onmessage = changed;
    }

    async open() {
      try {
        this.database = await new Promise((done, failed) => {
          const asked = root.indexedDB.open(this.name, 1);
          asked.onupgradeneeded = () => asked.result.createObjectStore("kept", { keyPath: "id" });
          asked.onsuccess = () => done(asked.result);
          asked.onerror = () => failed(asked.error);
          asked.onblocked = () => failed(new Error("another tab holds it"));
        });
        this.database.onversionchange = () => this.database.close();
      } catch (error) {
        this.database = null;
        this.why = error && error.name;
      }
    }

    /* Runs work(store) in one transaction, so that two tabs never take the same rows. Gives what work returned. */
    _in(mode, work) {
      if (!this.database) return Promise.reject(new Error("no database"));
      return new Promise((done, failed) => {
        let result;
        const transaction = this.database.transaction("kept", mode, { durability: "strict" });
        transaction.oncomplete = () => done(result);
        transaction.onabort = () => failed(transaction.error || new Error("the database gave up"));
        transaction.onerror = () => {};
        const store = transaction.objectStore("kept");
        const asked = store.getAll();
        asked.onsuccess = () => {
          result = work(store, asked.result);
        };
      });
    }

    async all() {
      let stored = [];
      try {
        stored = await this._in("readonly", (store, kept) => kept);
      } catch {
        stored = [];
      }
      return [...stored, ...this.unkept].sort((a, b) => (a.kept < b.kept ? -1 : a.kept > b.kept ? 1 : a.id < b.id ? -1 : 1));
    }

    /* Gives true where it is on the phone, false where it is held in memory only. */
    async put(one) {
      try {
        await this._in("readwrite", (store) => store.put(one));
        this.unkept = this.unkept.filter((other) => other.id !== one.id);
        this._tell();
        return true;
      } catch (error) {
        this.why = error && error.name;
        this.unkept = [...this.unkept.filter((other) => other.id !== one.id), one];
        return false;
      }
    }

    async tryAgain() {
      for (const one of [...this.unkept]) await this.put(one);
    }

    /* Puts everything that was not handed over into one file, and gives it. */
    async gather(file) {
      const into = (one) => ({ ...one, file });
      this.unkept = this.unkept.map((one) => (one.handed ? one : into(one)));
      let stored = [];
      try {
        stored = await this._in("readwrite", (store, kept) =>
          kept.filter((one) => !one.handed).map((one) => (store.put(into(one)), into(one))),
        );
      } catch {
        stored = (await this.all()).filter((one) => !one.handed && !this.unkept.some((other) => other.id === one.id)).map(into);
      }
      this._tell();
      return [...stored, ...this.unkept.filter((one) => !one.handed)].sort((a, b) => (a.kept < b.kept ? -1 : 1));
    }

    /* Marks what is in a file as handed over; it stays until the person deletes it. */
    async mark(ids, file, how, when) {
      const marked = (one) => ({ ...one, file, handed: { how, when } });
      this.unkept = this.unkept.map((one) => (ids.includes(one.id) ? marked(one) : one));
      try {
        await this._in("readwrite", (store, kept) => kept.filter((one) => ids.includes(one.id)).forEach((one) => store.put(marked(one))));
      } catch (error) {
        this.why = error && error.name;
      }
      this._tell();
    }

    async remove(ids) {
      this.unkept = this.unkept.filter((one) => !ids.includes(one.id));
      try {
        await this._in("readwrite", (store) => ids.forEach((id) => store.delete(id)));
      } catch (error) {
        this.why = error && error.name;
      }
      this._tell();
    }

    _tell() {
      if (this.tabs) this.tabs.postMessage("changed");
    }
  }

  gudgeon.Queue = Queue;
})(globalThis);
