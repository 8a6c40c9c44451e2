// What the browser keeps: one text under one number, written whole or not at all, and only
// over the number that was read, so that two tabs do not overwrite each other. Where it
// cannot be kept, it is held here until the page is closed, and `onTrouble` is told.
"use strict";

const store = {
  /** Why nothing is kept: "forbidden", "full", "elsewhere", or nothing. */
  trouble: "",
  onTrouble() {},
  /** What was not kept: newer than what the browser has. */
  held: null,
  base: null,

  /** The text last kept and its number. */
  async read() {
    if (this.held) return this.held;
    try {
      return await this.within("readonly", (kept) => kept.get(0)) ?? { number: 0, text: null };
    } catch {
      this.fail("forbidden");
      return this.held = { number: 0, text: null };
    }
  },

  /** Keeps a text over the one of this number; false where another tab was first. */
  async write(text, number) {
    const record = { number: number + 1, text };
    const over = this.base ?? number;
    try {
      const done = await this.within("readwrite", (kept, told) => {
        const asked = kept.get(0);
        asked.onsuccess = () => {
          const first = (asked.result?.number ?? 0) === over;
          told(first);
          if (first) kept.put(record, 0);
        };
        return asked;
      });
      if (!done && this.held === null) return false;
      if (!done) return this.hold(record, over, "elsewhere");
      this.fail("");
      this.held = this.base = null;
    } catch (error) {
      this.hold(record, over, error?.name === "QuotaExceededError" ? "full" : "forbidden");
    }
    return true;
  },

  hold(record, over, why) {
    this.held = record;
    this.base = over;
    this.fail(why);
    return true;
  },

  fail(why) {
    if (this.trouble === why) return;
    this.trouble = why;
    this.onTrouble(why);
  },

  /** The outcome of work in one transaction, once it is on the disk. */
  async within(mode, work) {
    const base = await this.opened();
    try {
      return await new Promise((resolve, reject) => {
        const transaction = base.transaction("kept", mode, { durability: "strict" });
        let told;
        const asked = work(transaction.objectStore("kept"), (value) => { told = value; });
        transaction.oncomplete = () => resolve(told ?? asked.result);
        transaction.onabort = () => reject(transaction.error);
      });
    } finally {
      base.close();
    }
  },

  opened() {
    return new Promise((resolve, reject) => {
      const asked = indexedDB.open("solidby", 1);
      asked.onupgradeneeded = () => asked.result.createObjectStore("kept");
      asked.onsuccess = () => resolve(asked.result);
      asked.onerror = () => reject(asked.error);
    });
  },
};
