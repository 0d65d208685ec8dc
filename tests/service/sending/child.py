"""A worker in a process of its own, at a moment that stands still, until it is killed."""

import sys
from datetime import datetime
from threading import Event

from service.db import open_database
from service.sending.worker import Worker
from service.settings import MailSettings, Security

url, port, moment = sys.argv[1:]
now = datetime.fromisoformat(moment)
mail = MailSettings(host="127.0.0.1", port=int(port), security=Security.NONE, timeout=5)
Worker(open_database(url), mail, lambda: now).start()
Event().wait()
