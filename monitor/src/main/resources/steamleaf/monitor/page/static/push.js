// The service worker: shows a push, and opens the phone page at its alarm when it is touched.
self.addEventListener('push', event => {
  const told = event.data ? event.data.json() : {title: 'Steamleaf', text: ''};
  event.waitUntil(self.registration.showNotification(told.title, {
    body: told.text, tag: told.tag, renotify: !!told.tag, requireInteraction: !!told.urgent, icon: '/static/leaf.svg',
  }));
});
self.addEventListener('notificationclick', event => {
  event.notification.close();
  event.waitUntil(self.clients.matchAll({type: 'window', includeUncontrolled: true}).then(open => {
    const here = open.find(client => new URL(client.url).pathname === '/phone');
    return here ? here.focus() : self.clients.openWindow('/phone#' + encodeURIComponent(event.notification.tag));
  }));
});
