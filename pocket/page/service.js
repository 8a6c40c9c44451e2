// Opens offline: everything is taken from what was kept at the last visit, and renewed when
// a newer version of this file is found. VERSION is filled in by `pocket/build`.
"use strict";

const VERSION = "@VERSION@";
const FILES = ["./", "manifest.webmanifest", "sign.svg", "sign.png"];

addEventListener("install", (event) => event.waitUntil(
  caches.open(VERSION).then((cache) => cache.addAll(FILES.map((file) => new Request(file, { cache: "reload" })))).then(() => skipWaiting()),
));
addEventListener("activate", (event) => event.waitUntil(
  caches.keys().then((names) => Promise.all(names.filter((name) => name !== VERSION).map((name) => caches.delete(name)))).then(() => clients.claim()),
));
addEventListener("fetch", (event) => event.respondWith(
  caches.match(event.request, { ignoreSearch: true }).then((kept) => kept ?? fetch(event.request)),
));
