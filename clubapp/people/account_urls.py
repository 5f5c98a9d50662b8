"""The addresses of allauth that we use, under the names it asks for. There is no sign-up; a new password needs a code
by mail, which opens only the browser that asked for it, and no link.
"""

from __future__ import annotations

from allauth.account.views import (
    account_inactive,
    complete_password_reset,
    confirm_login_code,
    confirm_password_reset_code,
    password_change,
    password_reset,
    password_set,
    reauthenticate,
    request_login_code,
)
from allauth.mfa.base import views as steps
from allauth.mfa.recovery_codes import views as spare
from allauth.mfa.webauthn import views as keys
from django.contrib.auth.decorators import login_required
from django.urls import path

from clubapp.people.views import account, doors

door_urls = [
    path("in/", doors.sign_in, name="account_login"),
    path("out/", doors.sign_out, name="account_logout"),
    path("closed/", account_inactive, name="account_inactive"),
    path("code/", request_login_code, name="account_request_login_code"),
    path("code/type/", confirm_login_code, name="account_confirm_login_code"),
    path("forgotten/", password_reset, name="account_reset_password"),
    path("forgotten/code/", confirm_password_reset_code, name="account_confirm_password_reset_code"),
    path("forgotten/new/", complete_password_reset, name="account_complete_password_reset"),
    path("step/", steps.authenticate, name="mfa_authenticate"),
    path("keys/in/", keys.login_webauthn, name="mfa_login_webauthn"),
]

own_urls = [
    path("", account.sign_ins, name="account_sign_ins"),
    path("end/", account.end_sign_in, name="account_end_sign_in"),
    path("again/", login_required(reauthenticate), name="account_reauthenticate"),
    path("password/", login_required(password_change), name="account_change_password"),
    path("password/first/", login_required(password_set), name="account_set_password"),
    path("steps/", login_required(steps.index), name="mfa_index"),
    path("steps/again/", login_required(steps.reauthenticate), name="mfa_reauthenticate"),
    path("steps/app/", account.set_up_app, name="mfa_activate_totp"),
    path("steps/spare/", account.spare_codes, name="mfa_view_recovery_codes"),
    path("steps/spare/new/", login_required(spare.generate_recovery_codes), name="mfa_generate_recovery_codes"),
    path("steps/<int:step_id>/remove/", account.remove_step, name="account_remove_step"),
    path("keys/", login_required(keys.list_webauthn), name="mfa_list_webauthn"),
    path("keys/add/", login_required(keys.add_webauthn), name="mfa_add_webauthn"),
    path("keys/again/", login_required(keys.reauthenticate_webauthn), name="mfa_reauthenticate_webauthn"),
]

urlpatterns = [*door_urls, *own_urls]
