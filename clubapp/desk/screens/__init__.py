"""Pictures of every page in every state, and what can be measured on them: `manage.py screens`."""
