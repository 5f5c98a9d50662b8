"""Where no mail server is set, mails are files in a folder, each named by its row of the outbox."""

from __future__ import annotations

import os
from collections.abc import Sequence

from django.conf import settings
from django.core.mail import EmailMessage
from django.core.mail.backends.base import BaseEmailBackend


class FolderBackend(BaseEmailBackend):
    """Writes each mail as it would be sent, for its owner's eyes only."""

    def send_messages(self, email_messages: Sequence[EmailMessage]) -> int:
        settings.MAIL_FOLDER.mkdir(mode=0o700, exist_ok=True)
        for message in email_messages:
            name = message.extra_headers["Message-ID"].strip("<>").split("@")[0]
            handle = os.open(settings.MAIL_FOLDER / f"{name}.eml", os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
            with os.fdopen(handle, "wb") as stream:
                stream.write(message.message().as_bytes())
        return len(email_messages)
